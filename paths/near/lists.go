package near

import (
	"math"

	"weftplot/paths"
)

// cell is a square cell of a grid without bounds.
type cell struct{ x, y int64 }

func cellOf(p paths.Point, side float64) cell {
	return cell{int64(math.Floor(p.X / side)), int64(math.Floor(p.Y / side))}
}

// cellLists keeps the items of the cells of a grid without bounds, most of whose
// cells are empty: a hash table with open addressing. Looking at an empty cell is
// what happens most, and costs one look at most of the time.
type cellLists struct {
	cells []cell
	heads []int32 // by place in the table: its first item, -1 for a free place
	tails []int32 // its last item
	next  []int32 // by item: the next of its cell, -1 for none
	shift uint
}

// newCellLists returns lists for items 0 to n-1.
func newCellLists(n int) *cellLists {
	size, shift := 8, uint(61)
	for size < 2*n {
		size, shift = 2*size, shift-1
	}
	l := &cellLists{cells: make([]cell, size), heads: make([]int32, size), tails: make([]int32, size), next: make([]int32, n), shift: shift}
	for i := range l.heads {
		l.heads[i] = -1
	}
	return l
}

// hash returns a number that says little of the cell; the high bits are the best mixed.
func (c cell) hash() uint64 {
	// Multiplied by odd numbers without a pattern.
	const a, b = 0x9e3779b97f4a7c15, 0xc2b2ae3d27d4eb4f
	h := uint64(c.x) * a
	return (h ^ h>>32 ^ uint64(c.y)) * b
}

// find returns the place of a cell in the table, or the free place where it belongs.
func (l *cellLists) find(c cell) int {
	for k := int(c.hash() >> l.shift); ; k = (k + 1) & (len(l.heads) - 1) {
		if l.heads[k] < 0 || l.cells[k] == c {
			return k
		}
	}
}

// first returns the first item of a cell, -1 for none; next has those after it, in the
// order in which they were added.
func (l *cellLists) first(c cell) int32 { return l.heads[l.find(c)] }

// add adds an item, which is in no list yet, to that of a cell, and returns the first
// item there.
func (l *cellLists) add(c cell, item int32) int32 {
	k := l.find(c)
	if l.next[item] = -1; l.heads[k] < 0 {
		l.cells[k], l.heads[k] = c, item
	} else {
		l.next[l.tails[k]] = item
	}
	l.tails[k] = item
	return l.heads[k]
}
