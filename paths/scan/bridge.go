package scan

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// bridgeMM is the greatest gap that is bridged, in mm, from ink to ink.
const bridgeMM = 1.2

// bridge joins ends that face each other over a gap of at most so many pixels of
// bare paper, the nearest and straightest first; width is the line's. It returns
// the gaps.
func (g *graph) bridge(gap, width float64) [][2]paths.Point {
	type facing struct {
		a, b int
		cost float64
	}
	ends := g.freeEnds()
	var pairs []facing
	reach := gap + width
	for i, a := range ends {
		for _, b := range ends[i+1:] {
			if g.nodes[b].at.X-g.nodes[a].at.X > reach {
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
		if len(g.nodes[p.a].ends) != 1 || len(g.nodes[p.b].ends) != 1 {
			continue
		}
		a, b := g.nodes[p.a].at, g.nodes[p.b].at
		g.addEdge(p.a, p.b, between(a, b))
		g.mend(p.a)
		g.mend(p.b)
		found = append(found, [2]paths.Point{a, b})
	}
	return found
}

// freeEnds returns the nodes where one edge ends, from the left to the right.
func (g *graph) freeEnds() []int {
	var ends []int
	for i, n := range g.nodes {
		if len(n.ends) == 1 {
			ends = append(ends, i)
		}
	}
	slices.SortStableFunc(ends, func(i, j int) int { return cmp.Compare(g.nodes[i].at.X, g.nodes[j].at.X) })
	return ends
}

// faces reports whether two ends face each other near enough, and how badly.
func (g *graph) faces(a, b int, reach, width float64) (float64, bool) {
	x, y := g.nodes[a].ends[0], g.nodes[b].ends[0]
	d := g.nodes[b].at.Sub(g.nodes[a].at)
	if d.Len() > reach || x.edge == y.edge && g.edges[x.edge].length() < 4*reach {
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

const degree = math.Pi / 180

// turn returns the angle between two directions, in [0, π].
func turn(u, v paths.Point) float64 { return math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) }

// between returns points a pixel apart from a to b.
func between(a, b paths.Point) []paths.Point {
	n := max(1, int(math.Ceil(a.Dist(b))))
	pts := make([]paths.Point, n+1)
	for i := range pts {
		pts[i] = a.Lerp(b, float64(i)/float64(n))
	}
	return pts
}
