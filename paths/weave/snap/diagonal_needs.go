package snap

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths/weave"
	"weftplot/paths/weave/holes"
	"weftplot/paths/weave/snap/choice"
)

// The bounds of the search for counts of diagonals that channels are chosen with.
const (
	mostSpread = 4    // channels by which the straights that a figure ends on part at most for it
	needCounts = 9    // so many counts are tried for figures of a kind
	needWork   = 8000 // lines that channels are chosen for, in all
)

// meetDiagonals chooses channels anew with what the diagonals need that are surely meant
// to go through holes: their ends lie on straights, whose spacings are to be so many
// times the ratio, with one count both ways. Kind by kind the counts are taken that most
// figures of it get, and of those the best choice of channels; but no other size that
// recurs loses places for it.
func (s *snapper) meetDiagonals(chosen [2]*channels) {
	p := s.plaiter
	if p == nil || s.opt.KeepMiddle || !p.areSurely() {
		return
	}
	m := &meeting{plaiter: p, chosen: chosen, work: needWork}
	for axis, c := range chosen {
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
	chosen [2]*channels
	index  [2]map[*straight]int // by axis, the lines that stand for straights
	work   int
}

// meet looks for the counts of figures of one kind, and keeps the choice with the best.
func (m *meeting) meet(of []*figure) {
	of = slices.DeleteFunc(slices.Clone(of), func(f *figure) bool { return !m.figureSurely(f) })
	if len(of) == 0 {
		return
	}
	before := m.chosen
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
			*m.chosen[axis] = *c
		}
	}
}

// with chooses channels with what figures need besides, and returns how many do not get it.
// It is not ok where the work is used up.
func (m *meeting) with(needs [2][]choice.Figure) (now [2]*channels, unmet int, ok bool) {
	now = m.chosen
	for axis, c := range m.chosen {
		if c == nil || len(needs[axis]) == 0 {
			continue
		}
		if m.work -= len(c.Lines); m.work < 0 || m.pause.now() {
			return now, 0, false
		}
		again := *c
		again.Figures = append(c.Figures[:len(c.Figures):len(c.Figures)], needs[axis]...)
		again.Answer = choice.Channels(again.Problem)
		unmet = max(unmet, again.Unmet-c.Unmet)
		now[axis] = &again
	}
	return now, unmet, true
}

// keepsSizes reports whether a choice loses no more places of sizes that recur than one
// before it, and refuses nothing.
func keepsSizes(before, now [2]*channels) bool {
	for axis, c := range now {
		if c == nil {
			continue
		}
		if b := before[axis]; c.Refused != nil || c.Misses() > b.Misses() || b.Mirror != nil && c.Mirror == nil {
			return false
		}
	}
	return true
}

// isCheaper reports whether channels cost less than others for both axes together.
func isCheaper(a, b [2]*channels) bool {
	sum := func(cs [2]*channels) (out float64) {
		for _, c := range cs {
			if c != nil {
				out += c.Cost
			}
		}
		return out
	}
	return sum(a) < sum(b)-1e-9
}

// candidates returns what figures of one kind need of each axis, for counts near their
// sizes. Counts with which they need nothing are left out.
func (m *meeting) candidates(of []*figure) (out [][2][]choice.Figure) {
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
		if needs, ok := m.needsOf(of, classes, c); ok {
			out = append(out, needs)
		}
	}
	return out
}

// needsOf returns what figures need with the counts given. It is not ok where that is
// nothing, where the lines of one do not close, or where it would move straights too far
// apart or together.
func (m *meeting) needsOf(of []*figure, classes map[int]int, counts []int) (needs [2][]choice.Figure, ok bool) {
	for _, f := range of {
		at, ok := holes.Figure{Corners: make([]holes.Corner, len(f.corners)), Lines: f.lines(classes)}.Shape(counts)
		if !ok {
			return needs, false
		}
		for axis := range needs {
			need, some := m.needOf(f, at, weave.Axis(axis))
			if some {
				needs[axis] = append(needs[axis], need)
			}
			if m.spread(need, axis) > mostSpread {
				return needs, false
			}
		}
	}
	return needs, len(needs[0])+len(needs[1]) > 0
}

// spread returns by how many channels the outermost straights that a figure ends on are to
// come closer or farther apart.
func (m *meeting) spread(f choice.Figure, axis int) float64 {
	by := 0.
	for _, n := range f.Spacings {
		lines := m.chosen[axis].Lines
		by += float64(n.Count) - (lines[n.B].At - lines[n.A].At)
	}
	return math.Abs(by)
}

// needOf returns what a figure needs across an axis, its corners lying to each other as
// given; it is not ok where that is nothing.
func (m *meeting) needOf(f *figure, at [][2]int, axis weave.Axis) (out choice.Figure, ok bool) {
	if m.chosen[axis] == nil {
		return out, false
	}
	var held []int // corners
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, v := range f.corners {
		if m.on[axis][v] != nil {
			held = append(held, i)
		}
		fixed, _ := axis.Split(m.Vertices[v])
		lo, hi = min(lo, fixed), max(hi, fixed)
	}
	if len(held) == 0 {
		least, most := at[0][axis], at[0][axis]
		for _, c := range at {
			least, most = min(least, c[axis]), max(most, c[axis])
		}
		out.Width, out.Middle = most-least, (lo+hi)/2/m.grid.Pitch(axis)
		return out, true
	}
	slices.SortStableFunc(held, func(i, j int) int { return cmp.Compare(at[i][axis], at[j][axis]) })
	line := func(i int) int { return m.index[axis][m.on[axis][f.corners[i]]] }
	for n := 1; n < len(held); n++ {
		i, j := held[n-1], held[n]
		if a, b := line(i), line(j); a != b {
			out.Spacings = append(out.Spacings, choice.Spacing{A: a, B: b, Count: at[j][axis] - at[i][axis]})
		}
	}
	return out, len(out.Spacings) > 0
}
