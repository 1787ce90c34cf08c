package snap

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths/weave"
	"weftplot/paths/weave/holes"
)

// The bounds of the search for counts of diagonals that channels are chosen with.
const (
	needCounts = 9    // so many counts are tried for figures of a kind
	needWork   = 8000 // items that channels are chosen for, in all
)

// meetDiagonals chooses channels anew with what the diagonals need that are surely meant
// to go through holes: their ends lie on straights, whose spacings are to be so many
// times the ratio, with one count both ways. Kind by kind the counts are taken that most
// figures of it get, and of those the best choice of channels; but no other size that
// recurs loses places for it.
func (s *snapper) meetDiagonals(choices [2]*choice) {
	p := s.plaiter
	if p == nil || !p.areSurely() {
		return
	}
	m := &meeting{plaiter: p, choices: choices, work: needWork}
	for axis, c := range choices {
		m.index[axis] = map[*straight]int{}
		if c != nil {
			for i, r := range c.all {
				m.index[axis][r] = i
			}
		}
	}
	for from := 0; from < len(p.figures); {
		to := from + 1
		for to < len(p.figures) && p.figures[to].kind == p.figures[from].kind {
			to++
		}
		if s.pause.now() {
			return
		}
		m.meet(p.figures[from:to])
		from = to
	}
}

// meeting brings the choice of channels and the figures of diagonals together.
type meeting struct {
	*plaiter
	choices [2]*choice
	index   [2]map[*straight]int // by axis, the items of straights
	work    int
}

// meet looks for the counts of figures of one kind, and keeps the choice with the best.
func (m *meeting) meet(of []*figure) {
	of = slices.DeleteFunc(slices.Clone(of), func(f *figure) bool { return !m.figureSurely(f) })
	if len(of) == 0 {
		return
	}
	before := m.choices
	best, most := before, 0
	for _, needs := range m.candidates(of) {
		now, unmet, ok := m.with(needs)
		if !ok {
			return
		}
		met := len(of) - unmet
		if better := met > most || met == most && met > 0 && isCheaper(now, best); better && keepsSizes(before, now) {
			best, most = now, met
		}
	}
	for axis, c := range best {
		if c != nil {
			*m.choices[axis] = *c
		}
	}
}

// with chooses channels with what figures need besides, and returns how many do not get it.
// It is not ok where the work is used up.
func (m *meeting) with(needs [2][][]need) (now [2]*choice, unmet int, ok bool) {
	now = m.choices
	for axis, c := range m.choices {
		if c == nil || len(needs[axis]) == 0 {
			continue
		}
		if m.work -= len(c.items); m.work < 0 || m.pause.now() {
			return now, 0, false
		}
		again := *c
		again.needs = append(c.needs[:len(c.needs):len(c.needs)], needs[axis]...)
		m.decide(&again)
		unmet = max(unmet, again.unmet-c.unmet)
		now[axis] = &again
	}
	return now, unmet, true
}

// keepsSizes reports whether a choice loses no more places of sizes that recur than one
// before it, and refuses nothing.
func keepsSizes(before, now [2]*choice) bool {
	for axis, c := range now {
		if c == nil {
			continue
		}
		if b := before[axis]; c.refused != nil || c.misses()-c.unmet > b.misses()-b.unmet || b.mirror != nil && c.mirror == nil {
			return false
		}
	}
	return true
}

// isCheaper reports whether channels cost less than others for both axes together.
func isCheaper(a, b [2]*choice) bool {
	sum := func(cs [2]*choice) (out float64) {
		for _, c := range cs {
			if c != nil {
				out += c.cost
			}
		}
		return out
	}
	return sum(a) < sum(b)-1e-9
}

// candidates returns what figures of one kind need of each axis, for counts near their
// sizes. Counts with which they need nothing are left out.
func (m *meeting) candidates(of []*figure) (out [][2][][]need) {
	classes, sizes := m.classesOf(of[0])
	counts := holes.Counts(sizes)
	off := func(c []int) (sum float64) {
		for i, n := range c {
			sum += (float64(n) - sizes[i]) * (float64(n) - sizes[i])
		}
		return sum
	}
	slices.SortStableFunc(counts, func(a, b []int) int { return cmp.Compare(off(a), off(b)) })
	for _, c := range counts {
		if len(out) == needCounts {
			break
		}
		var needs [2][][]need
		for _, f := range of {
			at, ok := holes.Figure{Corners: make([]holes.Corner, len(f.corners)), Lines: f.lines(classes)}.Shape(c)
			if !ok {
				break
			}
			for axis := range needs {
				if of := m.needsOf(f, at, weave.Axis(axis)); len(of) > 0 {
					needs[axis] = append(needs[axis], of)
				}
			}
		}
		if len(needs[0])+len(needs[1]) > 0 {
			out = append(out, needs)
		}
	}
	return out
}

// needsOf returns the spacings of straights that a figure needs across an axis, its
// corners lying to each other as given.
func (m *meeting) needsOf(f *figure, at [][2]int, axis weave.Axis) (out []need) {
	if m.choices[axis] == nil {
		return nil
	}
	var held []int // corners
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, v := range f.corners {
		if m.on[axis][v] != nil {
			held = append(held, i)
		}
		fixed, _ := axis.Split(m.vertices.at[v])
		lo, hi = min(lo, fixed), max(hi, fixed)
	}
	if len(held) == 0 {
		least, most := at[0][axis], at[0][axis]
		for _, c := range at {
			least, most = min(least, c[axis]), max(most, c[axis])
		}
		return []need{{a: axisOf, b: axisOf, count: most - least, middle: (lo + hi) / 2 / m.grid.Pitch(axis)}}
	}
	slices.SortStableFunc(held, func(i, j int) int { return cmp.Compare(at[i][axis], at[j][axis]) })
	item := func(i int) int { return m.index[axis][m.on[axis][f.corners[i]]] }
	for n := 1; n < len(held); n++ {
		i, j := held[n-1], held[n]
		if a, b := item(i), item(j); a != b {
			out = append(out, need{a: a, b: b, count: at[j][axis] - at[i][axis]})
		}
	}
	return out
}
