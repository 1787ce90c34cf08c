package outline

import (
	"slices"

	"weftplot/paths"
)

// tree finds the parts whose boxes touch a box: a binary tree over the parts,
// halved by the middles of their boxes along the longer side.
type tree struct {
	order []int32 // the parts, so that each node has a run of them
	nodes []node
}

// node holds the parts of order from lo to hi; left is 0 for a leaf, else its
// halves are the nodes left and left+1.
type node struct {
	box    paths.Rect
	lo, hi int32
	left   int32
}

const leafSize = 8

// plant builds the tree of all parts.
func (p *plane) plant() {
	p.tree.order = make([]int32, len(p.parts))
	for i := range p.tree.order {
		p.tree.order[i] = int32(i)
	}
	p.tree.nodes = append(p.tree.nodes, node{hi: int32(len(p.parts))})
	for at := 0; at < len(p.tree.nodes); at++ {
		p.branch(at)
	}
}

func (p *plane) branch(at int) {
	n := &p.tree.nodes[at]
	mine := p.tree.order[n.lo:n.hi]
	n.box = paths.EmptyRect()
	for _, i := range mine {
		n.box = n.box.Union(p.parts[i].box)
	}
	if len(mine) <= leafSize {
		return
	}
	middle := func(i int32) float64 {
		b := p.parts[i].box
		if n.box.Width() > n.box.Height() {
			return b.Min.X + b.Max.X
		}
		return b.Min.Y + b.Max.Y
	}
	slices.SortFunc(mine, func(i, j int32) int {
		if a, b := middle(i), middle(j); a != b {
			if a < b {
				return -1
			}
			return 1
		}
		return int(i - j)
	})
	mid := n.lo + int32(len(mine)/2)
	n.left = int32(len(p.tree.nodes))
	lo, hi := n.lo, n.hi
	p.tree.nodes = append(p.tree.nodes, node{lo: lo, hi: mid}, node{lo: mid, hi: hi})
}

// touching calls f with every part whose box has a point in common with the
// box, until the work is spent.
func (p *plane) touching(box paths.Rect, f func(i int)) {
	var visit func(at int32)
	visit = func(at int32) {
		n := &p.tree.nodes[at]
		if p.left--; p.left < 0 || !overlap(n.box, box) {
			return
		}
		if n.left > 0 {
			visit(n.left)
			visit(n.left + 1)
			return
		}
		for _, i := range p.tree.order[n.lo:n.hi] {
			if p.left--; overlap(p.parts[i].box, box) {
				f(int(i))
			}
		}
	}
	visit(0)
}

func overlap(a, b paths.Rect) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}

// places gives points that are near one another the same number.
type places struct {
	near float64
	at   []paths.Point
	grid map[[2]int64]int
}

// find returns the number of the place within near of q, a new one where there
// is none.
func (l *places) find(q paths.Point) int {
	x, y := int64(q.X/l.near), int64(q.Y/l.near)
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			if i, ok := l.grid[[2]int64{x + dx, y + dy}]; ok && l.at[i].Dist(q) <= l.near {
				return i
			}
		}
	}
	if l.grid == nil {
		l.grid = map[[2]int64]int{}
	}
	i := len(l.at)
	l.at = append(l.at, q)
	l.grid[[2]int64{x, y}] = i
	return i
}
