package skeleton

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// BridgeMM is the greatest gap that is bridged, in mm, from ink to ink.
const BridgeMM = 1.2

// Bridge joins ends that face each other over bare paper, the nearest and
// straightest first. gap is the greatest distance bridged and width the width
// of the line, in pixels. It returns the gaps.
func (g *Graph) Bridge(gap, width float64) [][2]paths.Point {
	type facing struct {
		a, b int
		cost float64
	}
	ends := g.freeEnds()
	var pairs []facing
	reach := gap + width
	for i, a := range ends {
		for _, b := range ends[i+1:] {
			if g.Nodes[b].At.X-g.Nodes[a].At.X > reach {
				break
			}
			if cost, ok := g.faces(a, b, reach, width); ok {
				pairs = append(pairs, facing{a, b, cost})
			}
		}
	}
	slices.SortStableFunc(pairs, func(p, q facing) int { return cmp.Compare(p.cost, q.cost) })
	var found [][2]paths.Point
	for _, p := range pairs {
		if len(g.Nodes[p.a].Ends) != 1 || len(g.Nodes[p.b].Ends) != 1 {
			continue
		}
		a, b := g.Nodes[p.a].At, g.Nodes[p.b].At
		g.addBranch(p.a, p.b, between(a, b))
		g.mend(p.a)
		g.mend(p.b)
		found = append(found, [2]paths.Point{a, b})
	}
	return found
}

// freeEnds returns the nodes where one branch ends, from the left to the right.
func (g *Graph) freeEnds() []int {
	var ends []int
	for i, n := range g.Nodes {
		if len(n.Ends) == 1 {
			ends = append(ends, i)
		}
	}
	slices.SortStableFunc(ends, func(i, j int) int { return cmp.Compare(g.Nodes[i].At.X, g.Nodes[j].At.X) })
	return ends
}

// faces reports whether two ends face each other near enough, and how badly.
func (g *Graph) faces(a, b int, reach, width float64) (float64, bool) {
	x, y := g.Nodes[a].Ends[0], g.Nodes[b].Ends[0]
	d := g.Nodes[b].At.Sub(g.Nodes[a].At)
	if d.Len() > reach || x.Branch == y.Branch && g.Branches[x.Branch].Length() < 4*reach {
		return 0, false
	}
	u, v := g.ahead(x, width/2, 3*width), g.ahead(y, width/2, 3*width).Mul(-1)
	bend := turn(u, v)
	if bend > 40*degree {
		return 0, false
	}
	if d.Len() > width/2 { // else the direction from one to the other says little
		bend = max(bend, turn(u, d), turn(d, v))
		if bend > 35*degree {
			return 0, false
		}
	}
	return d.Len() * (1 + 2*bend), true
}

// between returns points a pixel apart from a to b.
func between(a, b paths.Point) []paths.Point {
	n := max(1, int(math.Ceil(a.Dist(b))))
	pts := make([]paths.Point, n+1)
	for i := range pts {
		pts[i] = a.Lerp(b, float64(i)/float64(n))
	}
	return pts
}
