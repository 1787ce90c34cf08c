package snap

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/web"
)

// keepTouching puts the ends that lie on the middle of a slanting line back on
// it: lines stay straight, and the carriers alone would part them. One line's
// movement can move the end of another, so it goes over them a few times.
func (s *snapper) keepTouching() {
	touching := slices.DeleteFunc(append(s.slantTouches(), s.longSlants()...), func(t touch) bool { return s.crossing[t.vertex] })
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
func (s *snapper) touchedAt(t touch) (p paths.Point, ok bool) {
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

// touch is a vertex on the middle of a line from one vertex to another.
type touch struct {
	vertex, from, to int
	at               float64 // its share of the way
}

// slantTouches finds the vertices on the middle of lines that are no straights: line by
// line, and along each as it rises.
func (s *snapper) slantTouches() []touch {
	var lines []paths.Line
	var ends [][2]int
	taken := s.straightened()
	for i, st := range s.Strokes {
		for j, c := range st {
			if l, ok := c.(paths.Line); ok && !taken[i][j] && l.A != l.B {
				lines, ends = append(lines, l), append(ends, s.Ends[i][j])
			}
		}
	}
	type found struct {
		touch
		line, row int
		p         paths.Point
	}
	var all []found
	height := choice.Reach * s.grid.Along
	index := near.NewCurves(len(lines), func(i int) paths.Curve { return lines[i] }, 2*web.Joint)
	for v, p := range s.Vertices {
		index.Near(p, func(i int) bool {
			if from, to := ends[i][0], ends[i][1]; v != from && v != to {
				d, q := lines[i].B.Sub(lines[i].A), p.Sub(lines[i].A)
				t := q.Dot(d) / d.Dot(d)
				if t > 0 && t < 1 && math.Abs(q.Cross(d)) <= web.Joint*d.Len() {
					all = append(all, found{touch{v, from, to, t}, i, int(math.Floor(p.Y / height)), p})
				}
			}
			return true
		})
	}
	slices.SortFunc(all, func(a, b found) int {
		return cmp.Or(a.line-b.line, a.row-b.row, cmp.Compare(a.p.X, b.p.X), a.vertex-b.vertex)
	})
	out := make([]touch, len(all))
	for i, f := range all {
		out[i] = f.touch
	}
	return out
}

// side is a slanting line between two vertices.
type side struct{ from, to, stroke int }

// The bounds of what is one slanting line drawn as several.
const (
	straightTurn = 0.5 * math.Pi / 180 // most turn from one to the next
	straightOff  = 0.15                // mm that a joint may lie off the whole, by rounding in the design
)

// longSlants finds the slanting lines that are drawn as several, in one stroke or
// in several, and returns their inner vertices, so that they stay straight as a
// whole.
func (s *snapper) longSlants() []touch {
	sides, at := s.slantSides()
	var out []touch
	for _, row := range s.slantRows(sides, at) {
		out = append(out, s.innerTouches(row)...)
	}
	return out
}

// slantRows returns the rows of vertices of slanting lines, each of which goes straight
// on, though it be drawn as several.
func (s *snapper) slantRows(sides []side, at map[int][]int) (rows [][]int) {
	used := make([]bool, len(sides))
	for i := range sides {
		if used[i] {
			continue
		}
		back := s.follow(i, sides[i].from, sides, at, used)
		on := s.follow(i, sides[i].to, sides, at, used)
		used[i] = true
		var row []int
		for j := len(back) - 1; j >= 0; j-- {
			row = append(row, back[j])
		}
		rows = append(rows, append(append(row, sides[i].from, sides[i].to), on...))
	}
	return rows
}

// slantSides returns the lines that are no straights, and for each vertex those that
// end there.
func (s *snapper) slantSides() (sides []side, at map[int][]int) {
	at = map[int][]int{}
	taken := s.straightened()
	for i, st := range s.Strokes {
		for j, c := range st {
			e := s.Ends[i][j]
			if _, ok := c.(paths.Line); !ok || taken[i][j] || e[0] == e[1] {
				continue
			}
			at[e[0]] = append(at[e[0]], len(sides))
			at[e[1]] = append(at[e[1]], len(sides))
			sides = append(sides, side{e[0], e[1], i})
		}
	}
	return sides, at
}

// follow goes straight on from side i beyond its vertex v and returns the
// vertices it comes to.
func (s *snapper) follow(i, v int, sides []side, at map[int][]int, used []bool) []int {
	var out []int
	far := sides[i].from + sides[i].to - v
	for {
		heading := s.Vertices[v].Sub(s.Vertices[far])
		next := -1
		for _, j := range at[v] {
			w := sides[j].from + sides[j].to - v
			if j != i && !used[j] && math.Abs(turnOf(heading, s.Vertices[w].Sub(s.Vertices[v]))) <= straightTurn {
				next, far = j, w
				break
			}
		}
		if next < 0 {
			return out
		}
		used[next] = true
		i = next
		v, far = far, v
		out = append(out, v)
	}
}

// innerTouches returns the inner vertices of a row of vertices that is straight as a whole.
func (s *snapper) innerTouches(row []int) []touch {
	from, to := row[0], row[len(row)-1]
	a := s.Vertices[from]
	d := s.Vertices[to].Sub(a)
	var out []touch
	for _, v := range row[1 : len(row)-1] {
		p := s.Vertices[v].Sub(a)
		if math.Abs(p.Cross(d)) > straightOff*d.Len() {
			return nil
		}
		out = append(out, touch{v, from, to, p.Dot(d) / d.Dot(d)})
	}
	return out
}
