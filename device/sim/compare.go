package sim

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/deviation"
)

// Report is how what was drawn differs from what was asked for.
type Report struct {
	// Wanted and Drawn count the strokes.
	Wanted, Drawn int
	// Matched counts the strokes asked for that were drawn, and InOrder those
	// of them drawn in the right order.
	Matched, InOrder int
	// Missing are the indices of strokes asked for that were not drawn, Extra
	// those of strokes drawn that were not asked for.
	Missing, Extra []int
	// Deviation is the greatest distance, either way, of a point of a stroke
	// from the stroke that it was matched with, mm.
	Deviation float64
	// Worst is the index of the stroke asked for that has this deviation.
	Worst int
}

// Same reports whether all strokes were drawn, and nothing else.
func (r Report) Same() bool { return len(r.Missing) == 0 && len(r.Extra) == 0 }

// String returns the report as a sentence.
func (r Report) String() string {
	s := fmt.Sprintf("%d of %d strokes drawn, greatest deviation %.3f mm", r.Matched, r.Wanted, r.Deviation)
	if len(r.Extra) > 0 {
		s += fmt.Sprintf(", %d drawn that were not asked", len(r.Extra))
	}
	return s
}

// Compare looks for every wanted stroke among those drawn. A stroke matches
// another when neither strays from the other by more than tol mm; the direction
// does not matter. Strokes drawn in the right order are found at once; others
// are looked up by their ends. The cost is about linear in the number of
// vertices.
func Compare(want, got []paths.Stroke, tol float64) Report {
	r := Report{Wanted: len(want), Drawn: len(got)}
	used := make([]bool, len(got))
	byEnd := newEnds(got, tol)
	next := 0
	for i, w := range want {
		k, dev := -1, 0.0
		if next < len(got) && !used[next] {
			if d, ok := matches(w, got[next], tol); ok {
				k, dev = next, d
				r.InOrder++
			}
		}
		if k < 0 {
			k, dev = byEnd.find(w, got, used, tol)
		}
		if k < 0 {
			r.Missing = append(r.Missing, i)
			continue
		}
		used[k] = true
		next = k + 1
		r.Matched++
		if dev > r.Deviation {
			r.Deviation, r.Worst = dev, i
		}
	}
	for k, u := range used {
		if !u {
			r.Extra = append(r.Extra, k)
		}
	}
	return r
}

// matches reports whether two strokes are the same within tol, and the greatest
// distance between them.
func matches(a, b paths.Stroke, tol float64) (float64, bool) {
	if len(a) == 0 || len(b) == 0 {
		return 0, len(a) == len(b)
	}
	near := func(p, q paths.Point) bool { return p.Dist(q) <= tol }
	if !near(a.Start(), b.Start()) || !near(a.End(), b.End()) {
		if !near(a.Start(), b.End()) || !near(a.End(), b.Start()) {
			if !(a.IsClosed() && near(b.Start(), b.End())) {
				return 0, false
			}
		}
	}
	ba, bb := a.Bounds(), b.Bounds()
	if !near(ba.Min, bb.Min) || !near(ba.Max, bb.Max) {
		if math.Abs(ba.Min.X-bb.Min.X) > tol || math.Abs(ba.Min.Y-bb.Min.Y) > tol || math.Abs(ba.Max.X-bb.Max.X) > tol || math.Abs(ba.Max.Y-bb.Max.Y) > tol {
			return 0, false
		}
	}
	res := tol / 8
	d := deviation.Apart(a, b, res)
	return d, d <= tol
}

// ends finds strokes by the cell in which they start or end.
type ends struct {
	cell  float64
	index map[[2]int][]int
}

func newEnds(strokes []paths.Stroke, tol float64) ends {
	e := ends{cell: max(1, 2*tol), index: map[[2]int][]int{}}
	for i, s := range strokes {
		if len(s) == 0 {
			continue
		}
		e.add(s.Start(), i)
		if k := e.key(s.End()); k != e.key(s.Start()) {
			e.add(s.End(), i)
		}
	}
	return e
}

func (e ends) key(p paths.Point) [2]int {
	return [2]int{int(math.Floor(p.X / e.cell)), int(math.Floor(p.Y / e.cell))}
}

func (e ends) add(p paths.Point, i int) { k := e.key(p); e.index[k] = append(e.index[k], i) }

// find returns the first unused stroke that matches w, or -1. A closed stroke
// may have been begun anywhere, so when no drawn stroke starts or ends where w
// does, w is compared with every closed one.
func (e ends) find(w paths.Stroke, got []paths.Stroke, used []bool, tol float64) (int, float64) {
	if len(w) == 0 {
		return -1, 0
	}
	k := e.key(w.Start())
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, i := range e.index[[2]int{k[0] + dx, k[1] + dy}] {
				if used[i] {
					continue
				}
				if d, ok := matches(w, got[i], tol); ok {
					return i, d
				}
			}
		}
	}
	if !w.IsClosed() {
		return -1, 0
	}
	for i, g := range got {
		if used[i] || len(g) == 0 || g.Start().Dist(g.End()) > tol {
			continue
		}
		if d, ok := matches(w, g, tol); ok {
			return i, d
		}
	}
	return -1, 0
}
