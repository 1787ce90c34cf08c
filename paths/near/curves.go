package near

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// Curves finds the curves that may come near a point. Each is entered in the
// cells of a grid that its boxes touch, taken in parts no longer than a cell.
// A cell that holds many curves is divided into quarters where queries fall, and
// those again, so that long lines close together are told apart only where it
// matters. Building takes O(n) time; a query reads one cell, and takes its share
// of dividing it. Queries must not run at the same time, because Curves records
// which curves the current one has visited, and what is divided.
type Curves struct {
	cells *Cells
	curve func(i int) paths.Curve
	reach float64
	seen  []int32 // by curve: the last query that visited it
	query int32
	boxes []paths.Rect           // by curve, grown by the reach
	parts map[int32]*dividedCell // the crowded cells of the grid that were queried
	looks int
}

// NewCurves returns the index of n curves for queries up to reach mm away. It
// goes on asking curve while there are queries; while it is built, from several
// goroutines.
func NewCurves(n int, curve func(i int) paths.Curve, reach float64) *Curves {
	box, length := paths.EmptyRect(), 0.
	lengths, boxes := make([]float64, n), make([]paths.Rect, n)
	cores.Ranges(n, func(lo, hi int) {
		for i := lo; i < hi; i++ {
			boxes[i], lengths[i] = curve(i).Bounds(), curve(i).Length()
		}
	})
	for i := range n {
		box, length = box.Union(boxes[i]), length+lengths[i]
		boxes[i] = boxes[i].Grow(reach * (1 + 1e-6))
	}
	box = box.Grow(reach)
	// Cells short enough that few curves share one, and few enough in number.
	most := float64(8 * n)
	side := max(length/(2*most), 4*reach, math.Sqrt(box.Width()*box.Height()/most), (box.Width()+box.Height())/most, 1e-9)
	cells := NewCells(box, side, n, func(i int, put func(paths.Rect)) {
		parts := max(1, int(math.Ceil(lengths[i]/side)))
		if l, ok := curve(i).(paths.Line); ok {
			from := l.A
			for k := 1; k <= parts; k++ {
				to := l.At(float64(k) / float64(parts))
				put(paths.RectOf(from, to).Grow(reach))
				from = to
			}
			return
		}
		for k := range parts {
			put(paths.Sub(curve(i), float64(k)/float64(parts), float64(k+1)/float64(parts)).Bounds().Grow(reach))
		}
	})
	return &Curves{
		cells: cells, curve: curve, reach: reach, boxes: boxes,
		seen: make([]int32, n), parts: map[int32]*dividedCell{},
	}
}

// Near calls f with every curve that may be within reach of p, once each, in
// ascending order, until f returns false. Some are farther away; see [On].
func (x *Curves) Near(p paths.Point, f func(i int) bool) {
	list := x.Cell(p)
	x.query++
	for _, i := range list {
		x.looks++
		if x.seen[i] == x.query || !x.MayReach(int(i), p) {
			continue
		}
		x.seen[i] = x.query
		if !f(int(i)) {
			return
		}
	}
}

// Cell returns what a query at p looks at: the curves near it in ascending
// order, some of them perhaps more than once. Points of one cell have one list.
// The caller must not change it.
func (x *Curves) Cell(p paths.Point) []int32 {
	list := x.cells.At(p)
	if len(list) <= crowdedCell || !x.cells.holds(p) {
		return list
	}
	number, box := x.cells.cellAt(p)
	d := x.parts[number]
	if d == nil {
		d = &dividedCell{items: list}
		x.parts[number] = d
	}
	return d.at(x, p, box)
}

// MayReach reports whether the box of curve i, grown by the reach, holds p.
func (x *Curves) MayReach(i int, p paths.Point) bool { return x.boxes[i].Contains(p) }

// Looks returns how many curves all queries so far have looked at, also to
// divide a cell.
func (x *Curves) Looks() int { return x.looks }

// Side returns the side in mm of a cell that is not divided.
func (x *Curves) Side() float64 { return x.cells.Side() }
