package near

import (
	"context"
	"math"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// The squares in which points that stand alone are told, and their share of the plane.
const (
	squareSide  = 256  // in reaches
	squareEdge  = 4    // in reaches: what lies so near the side of its square may reach beyond
	mostSquares = 0.25 // of the plane that the points' squares may cover, if they are to be alone
	tableBits   = 3    // by the first bits of the hash, so that several cores fill them
)

// joinEqual joins equal points that nothing but each other lies within d mm of, and returns
// the others, ascending, which are looked at closely. Of most designs nearly all points are
// so: one look at a square much wider than d says so, where a dozen cells as narrow as d
// are to be looked at otherwise. Of points that lie close all over it returns all.
func joinEqual(sets *Sets, at []paths.Point, d float64) (others []int32) {
	side, box := squareSide*d, paths.RectOf(at...)
	if !(side*side*float64(len(at)) <= mostSquares*box.Width()*box.Height()) {
		others = make([]int32, len(at))
		for i := range others {
			others[i] = int32(i)
		}
		return others
	}
	q := newSquares(at, side)
	_ = cores.Each(context.Background(), 1<<tableBits, func(k int) error { q.fill(uint32(k)); return nil }) // which has no error
	for i, first := range q.first {
		if q.close[i] || q.close[first] {
			others = append(others, int32(i))
		} else if int(first) != i {
			sets.Join(i, int(first))
		}
	}
	return others
}

// squares tells which points stand alone in their squares.
type squares struct {
	at   []paths.Point
	hash []uint32 // by point, of its square
	// first is, by point, the first one of its square if it equals that, or else itself.
	first []int32
	// close tells of a point that it may have others near that it does not equal; of the
	// first of a square also that the square holds others.
	close []bool
}

func newSquares(at []paths.Point, side float64) *squares {
	q := &squares{at, make([]uint32, len(at)), make([]int32, len(at)), make([]bool, len(at))}
	const edge = float64(squareEdge) / squareSide
	isNear := func(v, whole float64) bool { return v-whole < edge || v-whole > 1-edge }
	cores.Ranges(len(at), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			x, y := at[i].X/side, at[i].Y/side
			u, v := math.Floor(x), math.Floor(y)
			q.hash[i] = uint32(cell{int64(u), int64(v)}.hash() >> 32)
			q.close[i] = isNear(x, u) || isNear(y, v)
		}
	})
	return q
}

// fill tells the points of one table. Squares whose hashes are equal are taken for one: the
// points of both then count as close.
func (q *squares) fill(table uint32) {
	const shift = 32 - tableBits
	count := 0
	for _, h := range q.hash {
		if h>>shift == table {
			count++
		}
	}
	size, bits := 8, 3
	for size < 2*count {
		size, bits = 2*size, bits+1
	}
	heads := make([]int32, size) // 1 + the first point of a square, 0 for a free place
	for i, h := range q.hash {
		if h>>shift != table {
			continue
		}
		k := int(h << tableBits >> (32 - bits))
		for heads[k] > 0 && q.hash[heads[k]-1] != h {
			k = (k + 1) & (size - 1)
		}
		if heads[k] == 0 {
			heads[k] = int32(i) + 1
		}
		if first := heads[k] - 1; q.at[first] == q.at[i] {
			q.first[i] = first
		} else {
			q.first[i], q.close[i], q.close[first] = int32(i), true, true
		}
	}
}
