package join

import (
	"math"
	"slices"

	"weftplot/paths"
)

// twins finds the arcs whose circle is nearly that of another arc, and the cubics whose
// control points are nearly those of another: no others can lie on one another as far
// as [covered] tells. However many curves cross in a place, few are looked at.
type twins struct {
	parts []part
	side  float64 // of a cell, twice as far as two curves may differ
	cells map[twinCell][]int32
	looks int
}

// twinCell is a cell of a grid of arcs by their centres and radii, or of cubics by
// their marks.
type twinCell struct {
	arc     bool
	x, y, r int64
}

func newTwins(parts []part, reach float64) *twins {
	// Centres and radii together may differ by twice the reach, marks by the reach.
	return &twins{parts: parts, side: 4 * reach * (1 + 1e-6), cells: map[twinCell][]int32{}}
}

// add lets part i be found from now on.
func (t *twins) add(i int) {
	var last twinCell
	for k, m := range marksOf(t.parts[i].Curve) {
		cell := t.cell(m, 0, 0, 0)
		if k == 0 || cell != last {
			t.cells[cell] = append(t.cells[cell], int32(i))
		}
		last = cell
	}
}

// mark is where a curve stands in the grid.
type mark struct {
	arc     bool
	x, y, r float64
}

// marksOf returns where an arc or a cubic is entered: a cubic once for each direction.
func marksOf(c paths.Curve) []mark {
	switch c := c.(type) {
	case paths.Arc:
		return []mark{{true, c.Centre.X, c.Centre.Y, c.Radius()}}
	case paths.Cubic:
		return []mark{markOf(c), markOf(c.Reverse().(paths.Cubic))}
	}
	return nil
}

// markOf returns the mean of the control points, each with a weight of its own, so that
// cubics that share an end or a centre stand apart. It differs by no more than they do.
func markOf(c paths.Cubic) mark {
	p := c.A.Mul(0.4).Add(c.B.Mul(0.3)).Add(c.C.Mul(0.2)).Add(c.D.Mul(0.1))
	return mark{x: p.X, y: p.Y}
}

// cell returns the cell of a place that is moved by half a cell times dx, dy and dr.
func (t *twins) cell(m mark, dx, dy, dr int) twinCell {
	whole := func(v float64, d int) int64 { return int64(math.Floor(v/t.side + 0.5*float64(d))) }
	return twinCell{m.arc, whole(m.x, dx), whole(m.y, dy), whole(m.r, dr)}
}

// of appends the arcs or cubics among those added that may lie on part i, in ascending
// order.
func (t *twins) of(found []int, i int) []int {
	marks := marksOf(t.parts[i].Curve)
	if len(marks) == 0 {
		return found
	}
	m, dr := marks[0], []int{0}
	if m.arc {
		dr = []int{-1, 1}
	}
	seen := make([]twinCell, 0, 8)
	for _, x := range []int{-1, 1} {
		for _, y := range []int{-1, 1} {
			for _, r := range dr {
				cell := t.cell(m, x, y, r)
				if slices.Contains(seen, cell) {
					continue
				}
				seen = append(seen, cell)
				for _, j := range t.cells[cell] {
					found = append(found, int(j))
				}
				t.looks += len(t.cells[cell]) + 1
			}
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}
