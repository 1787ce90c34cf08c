package outline

import (
	"slices"

	"weftplot/paths"
)

// tree finds the parts whose boxes touch a box: a binary tree over the parts,
// halved by the middles of their boxes along the longer side.
type tree struct {
	order    []int32 // the parts, so that those of each branch stand together
	branches []branch
}

// branch holds the parts of order from lo to hi; left is 0 for a leaf, else its
// halves are the branches left and left+1.
type branch struct {
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
	p.tree.branches = append(p.tree.branches, branch{hi: int32(len(p.parts))})
	for at := 0; at < len(p.tree.branches); at++ {
		p.halve(at)
	}
}

func (p *plane) halve(at int) {
	n := &p.tree.branches[at]
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
	n.left = int32(len(p.tree.branches))
	lo, hi := n.lo, n.hi
	p.tree.branches = append(p.tree.branches, branch{lo: lo, hi: mid}, branch{lo: mid, hi: hi})
}

// touching calls f with every part whose box has a point in common with the
// box, until the work is spent.
func (p *plane) touching(box paths.Rect, f func(i int)) {
	var visit func(at int32)
	visit = func(at int32) {
		n := &p.tree.branches[at]
		if p.budget--; p.budget < 0 || !n.box.Overlaps(box) {
			return
		}
		if n.left > 0 {
			visit(n.left)
			visit(n.left + 1)
			return
		}
		for _, i := range p.tree.order[n.lo:n.hi] {
			if p.budget--; p.parts[i].box.Overlaps(box) {
				f(int(i))
			}
		}
	}
	visit(0)
}
