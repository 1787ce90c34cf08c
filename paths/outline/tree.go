package outline

import (
	"slices"

	"weftplot/paths"
)

// tree finds the boxes that touch a box: a binary tree over them, halved by
// their middles along the longer side.
type tree struct {
	boxes    []paths.Rect
	first    int     // the number of the first box
	order    []int32 // the boxes, so that those of each branch stand together
	branches []branch
}

// branch holds the boxes of order from lo to hi; left is 0 for a leaf, else its
// halves are the branches left and left+1.
type branch struct {
	box    paths.Rect
	lo, hi int32
	left   int32
}

const leafSize = 8

// plant builds the trees of the parts of each boundary, and of the boundaries of each
// winder.
func (p *plane) plant() {
	boxes := make([]paths.Rect, len(p.parts))
	for i := range p.parts {
		boxes[i] = p.parts[i].box
	}
	areas := make([]paths.Rect, len(p.boundaries))
	for i := range p.boundaries {
		c := &p.boundaries[i]
		c.tree = newTree(boxes[c.from:c.to], c.from)
		areas[i] = c.tree.branches[0].box
	}
	for i := range p.winders {
		w := &p.winders[i]
		w.areas = newTree(areas[w.from:w.to], w.from)
		w.box = w.areas.branches[0].box
		w.limit = w.box
	}
}

// newTree returns the tree of the boxes, which it keeps. The first of them has
// the number first.
func newTree(boxes []paths.Rect, first int) tree {
	t := tree{boxes: boxes, first: first, order: make([]int32, len(boxes))}
	for i := range t.order {
		t.order[i] = int32(i)
	}
	t.branches = append(t.branches, branch{hi: int32(len(boxes))})
	for at := 0; at < len(t.branches); at++ {
		t.halve(at)
	}
	return t
}

func (t *tree) halve(at int) {
	n := &t.branches[at]
	mine := t.order[n.lo:n.hi]
	n.box = paths.EmptyRect()
	for _, i := range mine {
		n.box = n.box.Union(t.boxes[i])
	}
	if len(mine) <= leafSize {
		return
	}
	middle := func(i int32) float64 {
		b := t.boxes[i]
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
	n.left = int32(len(t.branches))
	lo, hi := n.lo, n.hi
	t.branches = append(t.branches, branch{lo: lo, hi: mid}, branch{lo: mid, hi: hi})
}

// touching calls f with the number of every box of the tree that has a point in
// common with the box given, until the work is spent.
func (p *plane) touching(t *tree, box paths.Rect, f func(i int)) {
	var visit func(at int32)
	visit = func(at int32) {
		n := &t.branches[at]
		if p.budget--; p.budget < 0 || !n.box.Overlaps(box) {
			return
		}
		if n.left > 0 {
			visit(n.left)
			visit(n.left + 1)
			return
		}
		for _, i := range t.order[n.lo:n.hi] {
			if p.budget--; t.boxes[i].Overlaps(box) {
				f(t.first + int(i))
			}
		}
	}
	visit(0)
}
