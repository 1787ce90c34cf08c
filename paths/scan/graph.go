package scan

import (
	"math"
	"math/bits"

	"weftplot/paths"
)

// Inside the package places are in pixels, x to the right and y down, with the
// middle of the first pixel at the origin.

// graph is thinned lines as edges that meet at nodes.
type graph struct {
	nodes []node
	edges []edge
	// dots are lone pixels: what was inked about them has no length.
	dots []paths.Point
}

// node is where edges end or meet.
type node struct {
	at paths.Point
	// r is how far the ink reaches about it.
	r float64
	// ends are the ends of edges that lie there.
	ends []end
}

// end is one end of an edge.
type end struct {
	edge int
	last bool
}

// edge is a piece of line from node a to node b, or a ring where both are -1.
// Its points begin and end at the nodes; those of a ring do not repeat the
// first.
type edge struct {
	a, b int
	pts  []paths.Point
	gone bool
}

func (e edge) isRing() bool { return e.a < 0 }

func (e edge) length() float64 {
	var sum float64
	for i := 1; i < len(e.pts); i++ {
		sum += e.pts[i].Dist(e.pts[i-1])
	}
	return sum
}

// node returns the node at an end.
func (g *graph) node(e end) int {
	if e.last {
		return g.edges[e.edge].b
	}
	return g.edges[e.edge].a
}

// from returns the points of an edge from one of its ends on.
func (g *graph) from(e end) []paths.Point {
	pts := g.edges[e.edge].pts
	if !e.last {
		return pts
	}
	out := make([]paths.Point, len(pts))
	for i, p := range pts {
		out[len(pts)-1-i] = p
	}
	return out
}

func (e end) other() end { return end{e.edge, !e.last} }

// graphOf reads thinned lines of unit width. Pixels with three neighbours and
// more that touch are one node, in their middle; those with one are ends.
func graphOf(mask plane, d distances) *graph {
	b := builder{mask: mask, d: d, step: mask.steps(), nodeAt: map[int]int{}}
	var lines []int
	for i, v := range mask.v {
		if v == 0 {
			continue
		}
		switch n := bits.OnesCount8(mask.neighbours(i)); {
		case n == 2:
			lines = append(lines, i)
		case n > 2 && mask.v[i] == 1:
			b.cluster(i)
		case n == 0:
			b.g.dots = append(b.g.dots, b.place(i))
		case n == 1:
			b.nodeAt[i] = len(b.g.nodes)
			b.g.nodes = append(b.g.nodes, node{at: b.place(i), r: b.radius(i)})
			b.starts = append(b.starts, i)
		}
	}
	b.traceAll()
	for _, i := range lines {
		if mask.v[i] == 1 {
			b.ring(i)
		}
	}
	return &b.g
}

// builder is the reading of one mask; what is read is marked by 2.
type builder struct {
	mask   plane
	d      distances
	step   [8]int
	nodeAt map[int]int // nodes by pixel
	starts []int       // the pixels of nodes, in order
	g      graph
}

func (b *builder) place(i int) paths.Point {
	return paths.Point{X: float64(i % b.mask.w), Y: float64(i / b.mask.w)}
}

// radius returns how far the ink reaches about pixel i; the nearest bare pixel's
// middle lies half a pixel beyond its edge.
func (b *builder) radius(i int) float64 { return max(0.5, b.d.at(i)-0.5) }

func (b *builder) isJunction(i int) bool {
	return b.mask.v[i] != 0 && bits.OnesCount8(b.mask.neighbours(i)) > 2
}

// cluster makes a node of the junction pixels that hang together with pixel i.
func (b *builder) cluster(i int) {
	id := len(b.g.nodes)
	todo := []int{i}
	b.mask.v[i] = 2
	var n node
	for k := 0; k < len(todo); k++ {
		p := todo[k]
		b.nodeAt[p] = id
		n.at = n.at.Add(b.place(p))
		n.r = max(n.r, b.radius(p))
		for _, s := range b.step {
			if q := p + s; b.mask.v[q] == 1 && b.isJunction(q) {
				b.mask.v[q] = 2
				todo = append(todo, q)
			}
		}
	}
	n.at = n.at.Mul(1 / float64(len(todo)))
	b.g.nodes = append(b.g.nodes, n)
	b.starts = append(b.starts, todo...)
}

// traceAll follows the lines that leave each node.
func (b *builder) traceAll() {
	for _, i := range b.starts {
		b.mask.v[i] = 2
	}
	for _, i := range b.starts {
		for _, s := range b.step {
			q := i + s
			if b.mask.v[q] == 1 {
				b.trace(i, q)
			} else if to, ok := b.nodeAt[q]; ok && i < q && to != b.nodeAt[i] {
				b.add(b.nodeAt[i], to, nil)
			}
		}
	}
}

// trace follows the line that leaves the node at pixel i by pixel q.
func (b *builder) trace(i, q int) {
	from := b.nodeAt[i]
	var pts []paths.Point
	for before := i; ; {
		b.mask.v[q] = 2
		pts = append(pts, b.place(q))
		next := -1
		for _, s := range b.step {
			if r := q + s; r != before && b.mask.v[r] != 0 {
				next = r
			}
		}
		if next < 0 {
			// Two neighbours that touch each other end a line as one does.
			b.g.nodes = append(b.g.nodes, node{at: b.place(q), r: b.radius(q)})
			b.add(from, len(b.g.nodes)-1, pts[:len(pts)-1])
			return
		}
		if to, ok := b.nodeAt[next]; ok {
			if to != from || len(pts) > 2 {
				b.add(from, to, pts)
			}
			return
		}
		before, q = q, next
	}
}

// add enters an edge with its points between the nodes.
func (b *builder) add(from, to int, between []paths.Point) {
	pts := append([]paths.Point{b.g.nodes[from].at}, between...)
	b.g.addEdge(from, to, append(pts, b.g.nodes[to].at))
}

func (g *graph) addEdge(a, b int, pts []paths.Point) {
	id := len(g.edges)
	g.edges = append(g.edges, edge{a: a, b: b, pts: pts})
	g.nodes[a].ends = append(g.nodes[a].ends, end{id, false})
	g.nodes[b].ends = append(g.nodes[b].ends, end{id, true})
}

// ring follows a line without nodes from pixel i: a ring, or a line whose ends
// each touch two pixels.
func (b *builder) ring(i int) {
	pts := b.walk(i)
	first, last := pts[0], pts[len(pts)-1]
	if len(pts) > 2 && max(math.Abs(first.X-last.X), math.Abs(first.Y-last.Y)) <= 1 {
		b.g.edges = append(b.g.edges, edge{a: -1, b: -1, pts: pts})
		return
	}
	pts = append(reversed(b.walk(i)[1:]), pts...)
	if len(pts) < 2 {
		return // a pixel between nodes, which join without it
	}
	n := len(b.g.nodes)
	for _, p := range []paths.Point{pts[0], pts[len(pts)-1]} {
		b.g.nodes = append(b.g.nodes, node{at: p, r: b.radius(int(p.Y)*b.mask.w + int(p.X))})
	}
	b.g.addEdge(n, n+1, pts)
}

// walk returns the pixels of a line from pixel i on that were not read yet.
func (b *builder) walk(i int) []paths.Point {
	var pts []paths.Point
	for q := i; q >= 0; {
		b.mask.v[q] = 2
		pts = append(pts, b.place(q))
		next := -1
		for _, s := range b.step {
			if b.mask.v[q+s] == 1 {
				next = q + s
				break
			}
		}
		q = next
	}
	return pts
}

// remove takes an edge out.
func (g *graph) remove(id int) {
	e := &g.edges[id]
	e.gone = true
	for _, n := range []int{e.a, e.b} {
		if n < 0 {
			continue
		}
		kept := g.nodes[n].ends[:0]
		for _, x := range g.nodes[n].ends {
			if x.edge != id {
				kept = append(kept, x)
			}
		}
		g.nodes[n].ends = kept
	}
}

// mend makes one edge of two that meet at a node where nothing else does, or a
// ring of one that comes back to it.
func (g *graph) mend(n int) {
	if len(g.nodes[n].ends) != 2 {
		return
	}
	x, y := g.nodes[n].ends[0], g.nodes[n].ends[1]
	if x.edge == y.edge {
		pts := g.edges[x.edge].pts
		g.remove(x.edge)
		g.edges = append(g.edges, edge{a: -1, b: -1, pts: pts[:len(pts)-1]})
		return
	}
	a, b := g.node(x.other()), g.node(y.other())
	pts := append([]paths.Point{}, g.from(x.other())...)
	pts = append(pts[:len(pts)-1], g.from(y)[1:]...)
	g.remove(x.edge)
	g.remove(y.edge)
	g.addEdge(a, b, pts)
}

// ahead returns the direction in which an edge runs out at one of its ends:
// from the points between near and far pixels along it.
func (g *graph) ahead(e end, near, far float64) paths.Point {
	pts := g.from(e)
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
