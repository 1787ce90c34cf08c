package skeleton

import (
	"slices"

	"weftplot/paths"
)

// Graph is a set of thinned lines: branches that meet at nodes.
type Graph struct {
	Nodes    []Node
	Branches []Branch // those removed included
	// Dots are lone pixels: the ink around them has no length.
	Dots []paths.Point
}

// Node is where branches end or meet.
type Node struct {
	At paths.Point // in pixels
	// Radius is how far the ink reaches about it, in pixels.
	Radius float64
	// Ends are the ends of branches that lie there.
	Ends []End
}

// End is one end of a branch.
type End struct {
	Branch int  // the number of the branch
	Last   bool // the end at node B, not at node A
}

// Branch is a piece of line from node A to node B, or a ring.
type Branch struct {
	A, B int // the numbers of the nodes; -1 for a ring
	// Points lie along the branch, in pixels. They begin and end at the nodes; those
	// of a ring do not repeat the first.
	Points  []paths.Point
	Removed bool // it was taken out of the graph
}

// IsRing reports whether the branch is closed and has no nodes.
func (e Branch) IsRing() bool { return e.A < 0 }

// Length returns the length along the points in pixels; for a ring, without the
// step back to the first.
func (e Branch) Length() float64 {
	var sum float64
	for i := 1; i < len(e.Points); i++ {
		sum += e.Points[i].Dist(e.Points[i-1])
	}
	return sum
}

// NodeAt returns the node at an end.
func (g *Graph) NodeAt(e End) int {
	if e.Last {
		return g.Branches[e.Branch].B
	}
	return g.Branches[e.Branch].A
}

// From returns the points of a branch, starting at the given end.
func (g *Graph) From(e End) []paths.Point {
	pts := g.Branches[e.Branch].Points
	if !e.Last {
		return pts
	}
	out := slices.Clone(pts)
	slices.Reverse(out)
	return out
}

// Other returns the other end of the same branch.
func (e End) Other() End { return End{e.Branch, !e.Last} }

// remove takes a branch out.
func (g *Graph) remove(id int) {
	e := &g.Branches[id]
	e.Removed = true
	for _, n := range []int{e.A, e.B} {
		if n < 0 {
			continue
		}
		kept := g.Nodes[n].Ends[:0]
		for _, x := range g.Nodes[n].Ends {
			if x.Branch != id {
				kept = append(kept, x)
			}
		}
		g.Nodes[n].Ends = kept
	}
}

// mend joins two branches into one at a node where no other meets them, or
// makes a ring of one that comes back to its node.
func (g *Graph) mend(n int) {
	if len(g.Nodes[n].Ends) != 2 {
		return
	}
	x, y := g.Nodes[n].Ends[0], g.Nodes[n].Ends[1]
	if x.Branch == y.Branch {
		pts := g.Branches[x.Branch].Points
		g.remove(x.Branch)
		g.Branches = append(g.Branches, Branch{A: -1, B: -1, Points: pts[:len(pts)-1]})
		return
	}
	a, b := g.NodeAt(x.Other()), g.NodeAt(y.Other())
	pts := append([]paths.Point{}, g.From(x.Other())...)
	pts = append(pts[:len(pts)-1], g.From(y)[1:]...)
	g.remove(x.Branch)
	g.remove(y.Branch)
	g.addBranch(a, b, pts)
}

// ahead returns the direction in which a branch leaves at one of its ends, from
// the points between near and far pixels along it.
func (g *Graph) ahead(e End, near, far float64) paths.Point {
	pts := g.From(e)
	var inner, outer paths.Point
	var s float64
	n := 0
	for i := range pts {
		if i > 0 {
			s += pts[i].Dist(pts[i-1])
		}
		if s >= near && n == 0 {
			outer, n = pts[i], 1
		}
		if s <= far || n < 2 {
			inner = pts[i]
		}
		if s > far {
			break
		}
	}
	if n == 0 {
		outer = pts[0]
	}
	if d := outer.Sub(inner); d.Len() > 0 {
		return d.Unit()
	}
	return pts[0].Sub(pts[len(pts)-1]).Unit()
}

// addBranch adds a branch from node a to node b.
func (g *Graph) addBranch(a, b int, pts []paths.Point) {
	id := len(g.Branches)
	g.Branches = append(g.Branches, Branch{A: a, B: b, Points: pts})
	g.Nodes[a].Ends = append(g.Nodes[a].Ends, End{id, false})
	g.Nodes[b].Ends = append(g.Nodes[b].Ends, End{id, true})
}
