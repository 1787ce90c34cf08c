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
	reach float64 // no less than the tolerance
	side  float64 // of a cell
	cells map[twinCell][]twin
	looks int
}

// twin is a part with its mark.
type twin struct {
	part int32
	at   [4]float64
}

// twinCell is a cell of a grid of arcs or of cubics, by their marks.
type twinCell struct {
	arc bool
	at  [4]int64
}

func newTwins(parts []part, reach float64) *twins {
	reach *= 1 + 1e-6
	return &twins{parts: parts, reach: reach, side: 4 * reach, cells: map[twinCell][]twin{}}
}

// add lets part i be found from now on.
func (t *twins) add(i int) {
	for _, m := range marksOf(t.parts[i].Curve) {
		cell := twinCell{m.arc, t.cellsAt(m.at, 0)}
		t.cells[cell] = append(t.cells[cell], twin{int32(i), m.at})
	}
}

// mark is where a curve stands in the grid: numbers none of which differs by more than twice
// the reach between arcs that lie on one another, and by more than the reach between cubics.
type mark struct {
	arc bool
	at  [4]float64
}

// marksOf returns where an arc or a cubic is entered: a cubic once for each direction.
func marksOf(c paths.Curve) []mark {
	switch c := c.(type) {
	case paths.Arc:
		return []mark{{true, [4]float64{c.Centre.X, c.Centre.Y, c.Radius()}}}
	case paths.Cubic:
		return []mark{markOf(c), markOf(c.Reverse().(paths.Cubic))}
	}
	return nil
}

// markOf returns the means of the first and of the last two control points, with weights by
// which cubics stand apart that share an end. They differ by no more than the points do.
func markOf(c paths.Cubic) mark {
	p, q := c.A.Lerp(c.B, 0.4), c.D.Lerp(c.C, 0.4)
	return mark{at: [4]float64{p.X, p.Y, q.X, q.Y}}
}

// cellsAt returns the cell of a mark all of whose numbers are by so much more.
func (t *twins) cellsAt(at [4]float64, more float64) (cell [4]int64) {
	for k, v := range at {
		cell[k] = int64(math.Floor((v + more) / t.side))
	}
	return cell
}

// of appends the arcs or cubics among those added that may lie on part i, in ascending
// order. Where very many are near, only those are looked at of which something is left.
func (t *twins) of(found []int, i int, left [][]part) []int {
	marks := marksOf(t.parts[i].Curve)
	if len(marks) == 0 {
		return found
	}
	m, reach := marks[0], t.reach
	if m.arc {
		reach *= 2
	}
	from, to := t.cellsAt(m.at, -reach), t.cellsAt(m.at, reach)
	for at := from; ; {
		list := t.cells[twinCell{m.arc, at}]
		t.looks += len(list) + 1
		for _, o := range list {
			if isWithin(o.at, m.at, reach) && (len(list) < crowded || len(left[o.part]) > 0) {
				found = append(found, int(o.part))
			}
		}
		k := 0
		for ; k < len(at) && at[k] == to[k]; k++ {
			at[k] = from[k]
		}
		if k == len(at) {
			break
		}
		at[k]++
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// isWithin reports that no two numbers differ by more than reach.
func isWithin(a, b [4]float64, reach float64) bool {
	for k := range a {
		if math.Abs(a[k]-b[k]) > reach {
			return false
		}
	}
	return true
}
