package web

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sort"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/weave"
)

// Rows holds points by rows of the coordinate along the axis, each sorted by the
// other.
type Rows struct {
	axis   weave.Axis
	pts    []paths.Point
	height float64
	base   int
	row    [][]rowPoint
}

type rowPoint struct {
	fixed float64
	index int
}

// NewRows returns points in rows of a height in mm along the axis.
func NewRows(pts []paths.Point, axis weave.Axis, height float64) *Rows {
	r := &Rows{axis: axis, pts: pts, height: height}
	if len(pts) == 0 {
		return r
	}
	rowOf := func(p paths.Point) int {
		_, v := axis.Split(p)
		return int(math.Floor(v / height))
	}
	lo, hi := math.MaxInt, math.MinInt
	for _, p := range pts {
		q := rowOf(p)
		lo, hi = min(lo, q), max(hi, q)
	}
	counts := make([]int, hi-lo+1)
	for _, p := range pts {
		counts[rowOf(p)-lo]++
	}
	r.base, r.row = lo, make([][]rowPoint, hi-lo+1)
	all := make([]rowPoint, len(pts))
	for q, n := range counts {
		r.row[q], all = all[:0:n], all[n:]
	}
	for i, p := range pts {
		fixed, _ := axis.Split(p)
		q := rowOf(p) - lo
		r.row[q] = append(r.row[q], rowPoint{fixed, i})
	}
	// Rows are sorted on all cores, each by itself.
	_ = cores.Each(context.Background(), len(r.row), func(q int) error { // which has no error
		slices.SortFunc(r.row[q], func(a, b rowPoint) int {
			return cmp.Or(cmp.Compare(a.fixed, b.fixed), cmp.Compare(a.index, b.index))
		})
		return nil
	})
	return r
}

// Points returns all points, by their index. The caller must not change them.
func (r *Rows) Points() []paths.Point { return r.pts }

// Axis returns the axis that the rows follow each other along.
func (r *Rows) Axis() weave.Axis { return r.axis }

// Visit calls f with the index of each point that lies between left and right in the
// rows from that of lo to that of hi.
func (r *Rows) Visit(lo, hi, left, right float64, f func(int)) {
	first := max(0, int(math.Floor(lo/r.height))-r.base)
	last := min(len(r.row)-1, int(math.Floor(hi/r.height))-r.base)
	for q := first; q <= last; q++ {
		row := r.row[q]
		for i := sort.Search(len(row), func(i int) bool { return row[i].fixed >= left }); i < len(row) && row[i].fixed <= right; i++ {
			f(row[i].index)
		}
	}
}

// Sorted sorts the indices of points in the order in which Visit comes to them, and returns
// them.
func (r *Rows) Sorted(of []int) []int {
	slices.SortFunc(of, func(i, j int) int {
		a, u := r.axis.Split(r.pts[i])
		b, v := r.axis.Split(r.pts[j])
		return cmp.Or(cmp.Compare(math.Floor(u/r.height), math.Floor(v/r.height)), cmp.Compare(a, b), i-j)
	})
	return of
}
