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

	keep func(i int) bool // nil where all curves are found
	upTo int32            // those before it are found, where keep is not nil
}

// NewCurves returns the index of n curves for queries up to reach mm away. It
// goes on asking curve while there are queries; while it is built, from several
// goroutines.
func NewCurves(n int, curve func(i int) paths.Curve, reach float64) *Curves {
	box, length := paths.EmptyRect(), 0.
	lengths, boxes := make([]float64, n), make([]paths.Rect, n)
	cores.Ranges(n, func(lo, hi int) {
		for i := lo; i < hi; i++ {
			boxes[i], lengths[i] = curve(i).Bounds(), LengthAtMost(curve(i))
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
		if n := int(math.Ceil(lengths[i] / side)); n > 1 {
			Pieces(curve(i), n, func(box paths.Rect) { put(box.Grow(reach)) })
		} else {
			put(boxes[i])
		}
	})
	return &Curves{
		cells: cells, curve: curve, reach: reach, boxes: boxes,
		seen: make([]int32, n), parts: map[int32]*dividedCell{},
	}
}

// LengthAtMost returns a length in mm that a curve does not exceed but for rounding: of a
// line or an arc its own, of a cubic that of the polygon of its control points. It is for
// dividing a curve into short pieces, and takes a small part of the time of its length.
func LengthAtMost(c paths.Curve) float64 {
	if c, ok := c.(paths.Cubic); ok {
		return c.A.Dist(c.B) + c.B.Dist(c.C) + c.C.Dist(c.D)
	}
	return c.Length()
}

// Pieces calls put with the boxes of n pieces of a curve, equal in its parameter.
func Pieces(c paths.Curve, n int, put func(paths.Rect)) {
	if n == 1 {
		put(c.Bounds())
		return
	}
	from := c.Start()
	for k := range n {
		t := float64(k+1) / float64(n)
		to := c.At(t)
		switch c := c.(type) {
		case paths.Line:
			put(paths.RectOf(from, to))
		case paths.Arc:
			put(paths.Arc{From: from, To: to, Centre: c.Centre, Sweep: c.Sweep / float64(n)}.Bounds())
		case paths.Cubic:
			put(between(c, float64(k)/float64(n), t).Bounds())
		}
		from = to
	}
}

// between returns the part of a cubic between two parameters: its control points are those of
// the polar form (L. Ramshaw, Computer Aided Geometric Design 6 (1989) 323-358).
func between(c paths.Cubic, a, b float64) paths.Cubic {
	polar := func(s, t, u float64) paths.Point {
		ab, bc, cd := c.A.Lerp(c.B, s), c.B.Lerp(c.C, s), c.C.Lerp(c.D, s)
		return ab.Lerp(bc, t).Lerp(bc.Lerp(cd, t), u)
	}
	return paths.Cubic{A: polar(a, a, a), B: polar(a, a, b), C: polar(a, b, b), D: polar(b, b, b)}
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
	list, _ := x.Place(p, nil)
	return list
}

// A Place is a cell, or a part of one, that holds so many curves that it may be divided. It is
// the same for all queries that look at it. Of cells with few curves it is the zero value.
type Place struct{ cell *dividedCell }

// Place is [Curves.Cell] with its place. Unless nil, enough is asked before a cell is divided:
// where what it holds is enough, that is the answer.
func (x *Curves) Place(p paths.Point, enough func(list []int32) bool) ([]int32, Place) {
	list := x.cells.At(p)
	if len(list) <= crowdedCell || !x.cells.holds(p) {
		return list, Place{}
	}
	number, box := x.cells.cellAt(p)
	d := x.parts[number]
	if d == nil {
		d = &dividedCell{}
		x.parts[number] = d
	}
	d.letIn(x, list)
	d = d.at(x, p, box, enough)
	return d.items, Place{d}
}

// Restrict makes an index that grows while it is queried: of cells with many curves only those
// are found that [Curves.UpTo] let in and of which keep told, when a query first came by them,
// that they are to be found. Dividing such cells takes the time of those alone. It is called
// before any query.
func (x *Curves) Restrict(keep func(i int) bool) { x.keep = keep }

// UpTo lets in the curves before n of an index that grows; n never falls.
func (x *Curves) UpTo(n int) { x.upTo = int32(n) }

// AppendKnown appends to a list what a query at p would look at, of what is known by now: it
// divides no cell and counts nothing. Several goroutines may ask at a time, while no query is made.
func (x *Curves) AppendKnown(to []int32, p paths.Point) []int32 {
	list := x.cells.At(p)
	if len(list) <= crowdedCell || !x.cells.holds(p) {
		return append(to, list...)
	}
	number, box := x.cells.cellAt(p)
	d := x.parts[number]
	if d == nil {
		d = &dividedCell{}
	}
	return d.appendKnown(to, x, list, p, box)
}

// MayReach reports whether the box of curve i, grown by the reach, holds p.
func (x *Curves) MayReach(i int, p paths.Point) bool { return x.boxes[i].Contains(p) }

// Looks returns how many curves all queries so far have looked at, also to
// divide a cell.
func (x *Curves) Looks() int { return x.looks }

// Side returns the side in mm of a cell that is not divided.
func (x *Curves) Side() float64 { return x.cells.Side() }
