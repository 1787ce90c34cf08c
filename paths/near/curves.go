package near

import (
	"math"

	"weftplot/paths"
)

// Curves finds the curves that may come near a point. Each is entered in the
// cells of a grid that its boxes touch, taken in parts no longer than a cell.
// Building takes O(n) time for curves that do not pile up in one place; a query
// reads one cell. Queries must not run at the same time, because Curves records
// which curves the current one has visited.
type Curves struct {
	cells *Cells
	seen  []int32 // by curve: the last query that visited it
	query int32
}

// NewCurves returns the index of n curves for queries up to reach mm away.
func NewCurves(n int, curve func(i int) paths.Curve, reach float64) *Curves {
	box, length := paths.EmptyRect(), 0.
	lengths := make([]float64, n)
	for i := range n {
		box = box.Union(curve(i).Bounds())
		lengths[i] = curve(i).Length()
		length += lengths[i]
	}
	box = box.Grow(reach)
	// Cells short enough that few curves share one, and few enough in number.
	most := float64(8 * n)
	side := max(length/(2*most), 4*reach, math.Sqrt(box.Width()*box.Height()/most), (box.Width()+box.Height())/most, 1e-9)
	return &Curves{seen: make([]int32, n), cells: NewCells(box, side, n, func(i int, put func(paths.Rect)) {
		parts := max(1, int(math.Ceil(lengths[i]/side)))
		for k := range parts {
			put(paths.Sub(curve(i), float64(k)/float64(parts), float64(k+1)/float64(parts)).Bounds().Grow(reach))
		}
	})}
}

// Near calls f with every curve that may be within reach of p, once each, in
// ascending order, until f returns false. Some are farther away; see [On].
func (x *Curves) Near(p paths.Point, f func(i int) bool) {
	x.query++
	for _, i := range x.cells.At(p) {
		if x.seen[i] == x.query {
			continue
		}
		x.seen[i] = x.query
		if !f(int(i)) {
			return
		}
	}
}
