package scan

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// stickOut is how far a spur sticks out of the line it stands on, in widths of
// the line, from which on it was drawn.
const stickOut = 0.8

// prune takes out spurs, which thinning makes of every bump: those that stick
// out of the line by less than a share of its width, the shortest first. It
// returns those that can be seen.
func (g *graph) prune(width float64) []paths.Point {
	var seen []paths.Point
	for {
		spurs := g.spurs(width)
		if len(spurs) == 0 {
			return seen
		}
		for _, e := range spurs {
			n := g.node(e.other())
			if len(g.nodes[n].ends) < 3 || g.edges[e.edge].gone {
				continue // what it stood on is now what is left of the line
			}
			if g.edges[e.edge].length() > width {
				seen = append(seen, g.nodes[g.node(e)].at)
			}
			g.remove(e.edge)
			g.mend(n)
		}
	}
}

// spurs lists the free ends of spurs.
func (g *graph) spurs(width float64) []end {
	type spur struct {
		end
		out float64
	}
	var list []spur
	for _, n := range g.nodes {
		if len(n.ends) != 1 {
			continue
		}
		e := n.ends[0]
		foot := g.nodes[g.node(e.other())]
		if len(foot.ends) < 3 {
			continue
		}
		if out := n.at.Dist(foot.at) + n.r - foot.r; out < stickOut*width {
			list = append(list, spur{e, out})
		}
	}
	slices.SortStableFunc(list, func(a, b spur) int { return cmp.Compare(a.out, b.out) })
	ends := make([]end, len(list))
	for i, s := range list {
		ends[i] = s.end
	}
	return ends
}

// closeSlits takes out one of two edges between the same nodes, or an edge that
// comes back to its node, where they enclose no more than a slit in the line.
func (g *graph) closeSlits(width float64) {
	for id := range g.edges {
		e := g.edges[id]
		if e.gone || e.isRing() || e.length() > 6*width {
			continue
		}
		if e.a == e.b {
			if spread(e.pts, e.pts[:1]) < width {
				g.remove(id)
				g.mend(e.a)
			}
			continue
		}
		for _, x := range g.nodes[e.a].ends {
			f := g.edges[x.edge]
			if x.edge == id || f.length() > e.length() || g.node(x.other()) != e.b {
				continue
			}
			if spread(e.pts, f.pts) < 0.8*width {
				g.remove(id)
				g.mend(e.a)
				g.mend(e.b)
				break
			}
		}
	}
}

// spread returns how far the points of a lie from the nearest of b at most.
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
