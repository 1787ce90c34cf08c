package skeleton

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// stickOut is how far a branch must stick out of the line that it starts from,
// in widths of the line, to count as drawn and not as a spur.
const stickOut = 0.8

// Prune removes spurs, which thinning makes of every bump: branches that stick
// out of the line by less than a share of its width, the shortest first. It
// returns the places of those large enough to be seen.
func (g *Graph) Prune(width float64) []paths.Point {
	var seen []paths.Point
	for {
		spurs := g.spurs(width)
		if len(spurs) == 0 {
			return seen
		}
		for _, e := range spurs {
			n := g.NodeAt(e.Other())
			if len(g.Nodes[n].Ends) < 3 || g.Branches[e.Branch].Removed {
				continue // the line that it started from is now the same line
			}
			if g.Branches[e.Branch].Length() > width {
				seen = append(seen, g.Nodes[g.NodeAt(e)].At)
			}
			g.remove(e.Branch)
			g.mend(n)
		}
	}
}

// spurs lists the free ends of spurs.
func (g *Graph) spurs(width float64) []End {
	type spur struct {
		End
		out float64
	}
	var list []spur
	for _, n := range g.Nodes {
		if len(n.Ends) != 1 {
			continue
		}
		e := n.Ends[0]
		foot := g.Nodes[g.NodeAt(e.Other())]
		if len(foot.Ends) < 3 {
			continue
		}
		if out := n.At.Dist(foot.At) + n.Radius - foot.Radius; out < stickOut*width {
			list = append(list, spur{e, out})
		}
	}
	slices.SortStableFunc(list, func(a, b spur) int { return cmp.Compare(a.out, b.out) })
	ends := make([]End, len(list))
	for i, s := range list {
		ends[i] = s.End
	}
	return ends
}

// CloseSlits removes one of two branches between the same nodes, or a branch
// that comes back to its node, where they enclose only a slit in the line.
func (g *Graph) CloseSlits(width float64) {
	for id := range g.Branches {
		e := g.Branches[id]
		if e.Removed || e.IsRing() || e.Length() > 6*width {
			continue
		}
		if e.A == e.B {
			if spread(e.Points, e.Points[:1]) < width {
				g.remove(id)
				g.mend(e.A)
			}
			continue
		}
		for _, x := range g.Nodes[e.A].Ends {
			f := g.Branches[x.Branch]
			if x.Branch == id || f.Length() > e.Length() || g.NodeAt(x.Other()) != e.B {
				continue
			}
			if spread(e.Points, f.Points) < 0.8*width {
				g.remove(id)
				g.mend(e.A)
				g.mend(e.B)
				break
			}
		}
	}
}

// spread returns the greatest distance of a point of a from the nearest of b.
func spread(a, b []paths.Point) float64 {
	worst := 0.0
	for _, p := range a {
		best := math.Inf(1)
		for _, q := range b {
			best = min(best, p.Dist(q))
		}
		worst = max(worst, best)
	}
	return worst
}
