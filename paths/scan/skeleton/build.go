package skeleton

import (
	"math"
	"math/bits"
	"slices"

	"weftplot/paths"
)

// GraphOf reads thinned lines of unit width. Touching pixels with three or more
// neighbours become one node, in their middle; those with one neighbour are
// ends.
func GraphOf(mask Plane, d Distances) *Graph {
	b := builder{mask: mask, d: d, step: mask.steps(), nodeAt: map[int]int{}}
	var lines []int
	for i, v := range mask.Pixels {
		if v == 0 {
			continue
		}
		switch n := bits.OnesCount8(mask.neighbours(i)); {
		case n == 2:
			lines = append(lines, i)
		case n > 2 && mask.Pixels[i] == 1:
			b.cluster(i)
		case n == 0:
			b.g.Dots = append(b.g.Dots, b.place(i))
		case n == 1:
			b.nodeAt[i] = len(b.g.Nodes)
			b.g.Nodes = append(b.g.Nodes, Node{At: b.place(i), Radius: b.radius(i)})
			b.starts = append(b.starts, i)
		}
	}
	b.traceAll()
	for _, i := range lines {
		if mask.Pixels[i] == 1 {
			b.ring(i)
		}
	}
	return &b.g
}

// builder reads one mask; pixels that were read are marked 2.
type builder struct {
	mask   Plane
	d      Distances
	step   [8]int
	nodeAt map[int]int // nodes by pixel
	starts []int       // the pixels of nodes, in order
	g      Graph
}

func (b *builder) place(i int) paths.Point {
	return paths.Point{X: float64(i % b.mask.W), Y: float64(i / b.mask.W)}
}

// radius returns how far the ink reaches about pixel i; the nearest bare pixel's
// middle lies half a pixel beyond its edge.
func (b *builder) radius(i int) float64 { return max(0.5, b.d.At(i)-0.5) }

func (b *builder) isJunction(i int) bool {
	return b.mask.Pixels[i] != 0 && bits.OnesCount8(b.mask.neighbours(i)) > 2
}

// cluster makes a node of pixel i and the junction pixels connected to it.
func (b *builder) cluster(i int) {
	id := len(b.g.Nodes)
	todo := []int{i}
	b.mask.Pixels[i] = 2
	var n Node
	for k := 0; k < len(todo); k++ {
		p := todo[k]
		b.nodeAt[p] = id
		n.At = n.At.Add(b.place(p))
		n.Radius = max(n.Radius, b.radius(p))
		for _, s := range b.step {
			if q := p + s; b.mask.Pixels[q] == 1 && b.isJunction(q) {
				b.mask.Pixels[q] = 2
				todo = append(todo, q)
			}
		}
	}
	n.At = n.At.Mul(1 / float64(len(todo)))
	b.g.Nodes = append(b.g.Nodes, n)
	b.starts = append(b.starts, todo...)
}

// traceAll follows the lines that leave each node.
func (b *builder) traceAll() {
	for _, i := range b.starts {
		b.mask.Pixels[i] = 2
	}
	for _, i := range b.starts {
		for _, s := range b.step {
			q := i + s
			if b.mask.Pixels[q] == 1 {
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
		b.mask.Pixels[q] = 2
		pts = append(pts, b.place(q))
		next := -1
		for _, s := range b.step {
			if r := q + s; r != before && b.mask.Pixels[r] != 0 {
				next = r
			}
		}
		if next < 0 {
			// Two neighbours that touch each other end a line, as a single one
			// does.
			b.g.Nodes = append(b.g.Nodes, Node{At: b.place(q), Radius: b.radius(q)})
			b.add(from, len(b.g.Nodes)-1, pts[:len(pts)-1])
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

// add adds a branch with its points between the nodes.
func (b *builder) add(from, to int, between []paths.Point) {
	pts := append([]paths.Point{b.g.Nodes[from].At}, between...)
	b.g.addBranch(from, to, append(pts, b.g.Nodes[to].At))
}

// ring follows a line without nodes from pixel i: a ring, or a line whose ends
// each touch two pixels.
func (b *builder) ring(i int) {
	pts := b.walk(i)
	first, last := pts[0], pts[len(pts)-1]
	if len(pts) > 2 && max(math.Abs(first.X-last.X), math.Abs(first.Y-last.Y)) <= 1 {
		b.g.Branches = append(b.g.Branches, Branch{A: -1, B: -1, Points: pts})
		return
	}
	back := b.walk(i)[1:]
	slices.Reverse(back)
	pts = append(back, pts...)
	if len(pts) < 2 {
		return // a pixel between nodes that are joined without it
	}
	n := len(b.g.Nodes)
	for _, p := range []paths.Point{pts[0], pts[len(pts)-1]} {
		b.g.Nodes = append(b.g.Nodes, Node{At: p, Radius: b.radius(int(p.Y)*b.mask.W + int(p.X))})
	}
	b.g.addBranch(n, n+1, pts)
}

// walk returns the pixels of a line that were not read yet, from pixel i on.
func (b *builder) walk(i int) []paths.Point {
	var pts []paths.Point
	for q := i; q >= 0; {
		b.mask.Pixels[q] = 2
		pts = append(pts, b.place(q))
		next := -1
		for _, s := range b.step {
			if b.mask.Pixels[q+s] == 1 {
				next = q + s
				break
			}
		}
		q = next
	}
	return pts
}
