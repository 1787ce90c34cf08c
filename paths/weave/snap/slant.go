package snap

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/slanting"
	"weftplot/paths/weave/snap/touch"
	"weftplot/paths/weave/snap/web"
)

// keepTouching puts the ends that lie on the middle of a slanting line back on
// it: lines stay straight, and the carriers alone would part them. One line's
// movement can move the end of another, so it goes over them a few times.
func (s *snapper) keepTouching() {
	if slices.Equal(s.moved, s.Vertices) {
		return // what stands goes on touching what stands
	}
	touching := slices.DeleteFunc(slices.Concat(s.slanting(), s.longSlants()), func(t slantTouch) bool { return s.crossing[t.vertex] })
	held := map[int][]touchOn{} // by vertex, the straights that it lies on the middle of
	for _, t := range s.touches {
		held[t.vertex] = append(held[t.vertex], t)
	}
	defer s.holdTouches(held)
	for range 4 {
		still := true
		for _, t := range touching {
			if s.stands(t.from) && s.stands(t.to) && s.stands(t.vertex) {
				continue
			}
			p, ok := s.touchedAt(t)
			if !ok {
				continue
			}
			p = s.heldOn(held[t.vertex], p)
			still = still && p == s.moved[t.vertex]
			s.moved[t.vertex] = p
		}
		if still {
			return
		}
	}
}

// touchedAt returns where a vertex touches its line. What is in a channel stays in it,
// whatever it touches; at a crossing of channels it is not ok.
func (s *snapper) touchedAt(t slantTouch) (p paths.Point, ok bool) {
	a, b := s.moved[t.from], s.moved[t.to]
	p = a.Lerp(b, t.at)
	d, old := b.Sub(a), s.moved[t.vertex]
	across, along := s.on[weave.Across][t.vertex] != nil, s.on[weave.Along][t.vertex] != nil
	switch {
	case across && along:
		return p, false
	case across:
		if math.Abs(d.X) > leastSlant*math.Abs(d.Y) {
			p = pointAt(a, d, (old.X-a.X)/d.X, p)
		}
		p.X = old.X
	case along:
		if math.Abs(d.Y) > leastSlant*math.Abs(d.X) {
			p = pointAt(a, d, (old.Y-a.Y)/d.Y, p)
		}
		p.Y = old.Y
	}
	return p, true
}

// leastSlant is how much a line must lean against a channel to be met where it crosses it.
// One that is flatter may cross it anywhere; what touches it keeps its share of the way.
const leastSlant = 0.05

// holdTouches keeps what lies on the middle of straights on them, now that their ends are
// where they stay. What lies in a channel of the other axis too stays at the crossing.
func (s *snapper) holdTouches(held map[int][]touchOn) {
	for _, t := range s.touches {
		if s.on[1-t.axis][t.vertex] == nil && !s.crossing[t.vertex] {
			s.moved[t.vertex] = s.heldOn(held[t.vertex], s.moved[t.vertex])
		}
	}
}

// heldOn returns p, or the end beyond which it lies of a straight that it is to stay on.
func (s *snapper) heldOn(on []touchOn, p paths.Point) paths.Point {
	for _, t := range on {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range t.on.verts {
			_, along := t.axis.Split(s.moved[v])
			lo, hi = min(lo, along), max(hi, along)
		}
		fixed, along := t.axis.Split(p)
		if along >= lo && along <= hi {
			continue
		}
		p = t.axis.Point(fixed, min(hi, max(lo, along)))
	}
	return p
}

// stands reports whether a vertex is where it was.
func (s *snapper) stands(v int) bool { return s.moved[v] == s.Vertices[v] }

// pointAt returns a+t·d, or p where that is not between the ends.
func pointAt(a, d paths.Point, t float64, p paths.Point) paths.Point {
	if t >= 0 && t <= 1 {
		return a.Add(d.Mul(t))
	}
	return p
}

// slantTouch is a vertex on the middle of a line from one vertex to another.
type slantTouch struct {
	vertex, from, to int
	at               float64 // its share of the way
}

// slantTouches finds the vertices on the middle of lines that are no straights: line by
// line, and along each as it rises. Where very many lie on one straight line, a vertex
// touches only the longest of those that pass it. It is of no use once the snapping is to end.
func (s *snapper) slantTouches() []slantTouch {
	var lines []paths.Line
	var ends [][2]int
	for i, st := range s.Strokes {
		for j, c := range st {
			if l, ok := c.(paths.Line); ok && !s.isTaken(i, j) && l.A != l.B {
				lines, ends = append(lines, l), append(ends, s.Ends(i, j))
			}
		}
	}
	type found struct {
		slantTouch
		line, row int
		p         paths.Point
	}
	var all []found
	height := choice.Reach * s.grid.Along
	touch.Lines(s.Vertices, lines, s.opt.stopped, func(v, i int) bool {
		from, to := ends[i][0], ends[i][1]
		if v == from || v == to {
			return false
		}
		p := s.Vertices[v]
		d, q := lines[i].B.Sub(lines[i].A), p.Sub(lines[i].A)
		t := q.Dot(d) / d.Dot(d)
		if !(t > 0 && t < 1 && math.Abs(q.Cross(d)) <= web.Joint*d.Len()) {
			return false
		}
		all = append(all, found{slantTouch{v, from, to, t}, i, int(math.Floor(p.Y / height)), p})
		return true
	})
	slices.SortFunc(all, func(a, b found) int {
		return cmp.Or(a.line-b.line, a.row-b.row, cmp.Compare(a.p.X, b.p.X), a.vertex-b.vertex)
	})
	out := make([]slantTouch, len(all))
	for i, f := range all {
		out[i] = f.slantTouch
	}
	return out
}

// straightOff is how far, in mm, a joint of a slanting line that is drawn as several may lie
// off the whole, by rounding in the design.
const straightOff = 0.15

// longSlants finds the slanting lines that are drawn as several, in one stroke or
// in several, and returns their inner vertices, so that they stay straight as a
// whole.
func (s *snapper) longSlants() []slantTouch {
	var out []slantTouch
	s.slantLines(func(int) bool { return true }).Rows(func(row []int) {
		if len(row) > 2 {
			out = append(out, s.innerTouches(row)...)
		}
	})
	return out
}

// slantLines returns the lines that are no straights of some strokes.
func (s *snapper) slantLines(of func(stroke int) bool) *slanting.Lines {
	var sides []slanting.Side
	for i, st := range s.Strokes {
		if !of(i) {
			continue
		}
		for j, c := range st {
			if _, ok := c.(paths.Line); ok && !s.isTaken(i, j) {
				if e := s.Ends(i, j); e[0] != e[1] {
					sides = append(sides, slanting.Side{From: int32(e[0]), To: int32(e[1]), Stroke: int32(i)})
				}
			}
		}
	}
	return slanting.New(s.Vertices, sides)
}

// innerTouches returns the inner vertices of a row of vertices that is straight as a whole.
func (s *snapper) innerTouches(row []int) []slantTouch {
	from, to := row[0], row[len(row)-1]
	a := s.Vertices[from]
	d := s.Vertices[to].Sub(a)
	var out []slantTouch
	for _, v := range row[1 : len(row)-1] {
		p := s.Vertices[v].Sub(a)
		if math.Abs(p.Cross(d)) > straightOff*d.Len() {
			return nil
		}
		out = append(out, slantTouch{v, from, to, p.Dot(d) / d.Dot(d)})
	}
	return out
}
