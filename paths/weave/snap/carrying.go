package snap

import (
	"math"
	"slices"
	"sync"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/carry"
	"weftplot/paths/weave/snap/web"
)

// carry makes the two carriers and moves every vertex. The coordinate across goes
// first, everything else keeping its height; the coordinate along follows, at
// the new places across.
func (s *snapper) carry() {
	s.moved = append([]paths.Point(nil), s.Vertices...)
	s.slanting = sync.OnceValue(s.slantTouches)
	if !s.carryVertices() {
		return
	}
	s.evenCopies()
	s.keepTouching()
	s.whole = make([]*paths.Point, len(s.Strokes))
	s.putDiagonals()
	s.moveWhole()
	s.warnInner()
}

// carriedAtOnce is how many vertices one core carries before it takes others.
const carriedAtOnce = 256

// carryVertices moves every vertex as the carriers say, each by itself, and reports whether
// it was not stopped. Meanwhile it has what touches slanting lines found, as drawn, once
// something is to move.
func (s *snapper) carryVertices() bool {
	var meanwhile sync.WaitGroup
	defer meanwhile.Wait()
	begin := sync.OnceFunc(func() { meanwhile.Go(func() { s.slanting() }) })
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		s.carriers[axis] = s.carrierOf(axis)
		if s.isStill(axis) {
			s.pause.skip(len(s.moved))
			continue
		}
		pitch := s.grid.Pitch(axis)
		begin()
		n := len(s.moved)
		cores.EachUntil((n+carriedAtOnce-1)/carriedAtOnce, s.pause.now, func(k int) {
			lo, hi := k*carriedAtOnce, min(n, (k+1)*carriedAtOnce)
			for v := lo; v < hi; v++ {
				fixed, along := axis.Split(s.moved[v])
				if r := s.on[axis][v]; r != nil {
					fixed = float64(r.channel) * pitch
				} else {
					fixed = s.carriedOne(axis, fixed, along)
				}
				s.moved[v] = axis.Point(fixed, along)
			}
			s.pause.skip(hi - lo)
		})
		if s.pause.now() {
			return false
		}
	}
	return true
}

// isStill reports that nothing is moved across the lines of an axis, but perhaps with all of
// the design: there is nothing on the weave to go with, and no room to keep to.
func (s *snapper) isStill(axis weave.Axis) bool {
	return s.carriers[axis].IsStill() && s.mirrors[axis] == nil && s.opt.Room == nil
}

// allStill reports that nothing at all is moved.
func (s *snapper) allStill() bool {
	return s.isStill(weave.Across) && s.isStill(weave.Along) && s.shifted == (paths.Point{}) && slices.Equal(s.moved, s.Vertices)
}

// carriedOne returns where the carrier of an axis carries its coordinate. In a
// design that is its own mirror image it is the mean of what the carrier says
// there and, mirrored, at the image: a mean of maps that do not turn back does
// not turn back, and where a straight passes all agree.
func (s *snapper) carriedOne(axis weave.Axis, fixed, along float64) float64 {
	f := s.carriers[axis].At
	one := func(fixed float64) float64 {
		m := s.flips[axis]
		if m == nil {
			return f(fixed, along)
		}
		// Along comes second, when what lies across has moved.
		middle := m.before
		if axis == weave.Along {
			middle = m.after
		}
		return (f(fixed, along) + f(fixed, 2*middle-along)) / 2
	}
	to := one(fixed)
	if m := s.mirrors[axis]; m != nil {
		to = (to + 2*m.after - one(2*m.before-fixed)) / 2
	}
	return s.walled(axis, fixed, to)
}

// walled returns to, or the side of the room that it lies beyond, for a coordinate that
// lay in the room.
func (s *snapper) walled(axis weave.Axis, fixed, to float64) float64 {
	lo, hi, toLo, toHi, ok := s.walls(axis)
	if ok && fixed >= lo-web.Joint && fixed <= hi+web.Joint {
		to = min(toHi, max(toLo, to))
	}
	return to
}

// walls returns the sides of the room across the lines of an axis, before and
// after, mm. Where the design is its own mirror image, so is the room that it gets.
func (s *snapper) walls(axis weave.Axis) (lo, hi, toLo, toHi float64, ok bool) {
	room := s.opt.Room.span(axis)
	if room == nil {
		return 0, 0, 0, 0, false
	}
	pitch := s.grid.Pitch(axis)
	lo, hi = float64(room.Lo)*pitch, float64(room.Hi)*pitch
	toLo, toHi = lo, hi
	if m := s.mirrors[axis]; m != nil {
		toLo, toHi = max(lo, 2*m.after-hi), min(hi, 2*m.after-lo)
	}
	return lo, hi, toLo, toHi, true
}

// straightened tells, by the number of the curve, what is a part of a straight.
func (s *snapper) straightened() []bool {
	out := make([]bool, s.Curves())
	for _, straights := range s.straights {
		for _, r := range straights {
			for _, c := range r.curves {
				out[s.First(r.stroke)+c] = true
			}
		}
	}
	return out
}

// isTaken reports whether curve j of stroke i is a part of a straight.
func (s *snapper) isTaken(i, j int) bool { return s.taken[s.First(i)+j] }

// movedEnds returns where the ends of curve j of stroke i went.
func (s *snapper) movedEnds(i, j int) (from, to paths.Point) {
	e := s.Ends(i, j)
	return s.moved[e[0]], s.moved[e[1]]
}

// carrierOf returns the carrier of an axis, its straights where they are by now.
func (s *snapper) carrierOf(axis weave.Axis) *carry.Carrier {
	pitch := s.grid.Pitch(axis)
	lines := s.roomGuides(axis)
	for _, r := range s.fixedStraights(axis) {
		lines = append(lines, carry.Guide{At: r.at, Mean: r.mean, To: float64(r.channel) * pitch})
	}
	boxes := s.movedBoxes()
	for n := range s.motifs {
		of := s.motifs[n].lines[axis]
		lo, hi := sides(axis, boxes[n])
		first := len(lines)
		for _, i := range of {
			r := s.straights[axis][i]
			at := make([]carry.Knot, len(r.verts))
			for i, v := range r.verts {
				at[i].Fixed, at[i].Along = axis.Split(s.moved[v])
				if i > 0 {
					at[i].Along = max(at[i].Along, at[i-1].Along)
				}
			}
			l := carry.Guide{At: at, Mean: r.mean, To: float64(r.channel) * pitch}
			if len(of) <= carry.ReachLines {
				l.Part, l.Before, l.After = n+1, max(0, l.Lo()-lo), max(0, hi-l.Hi())
			}
			lines = append(lines, l)
		}
		if len(of) > 0 && len(of) <= carry.ReachLines {
			lines = append(lines, s.edgeGuides(axis, n, boxes[n], lines[first:])...)
		}
	}
	return carry.New(lines, pitch, s.grid.Step(axis))
}

// sides returns how far a box reaches along the lines of an axis.
func sides(axis weave.Axis, b paths.Rect) (lo, hi float64) {
	_, lo = axis.Split(b.Min)
	_, hi = axis.Split(b.Max)
	return lo, hi
}

// movedBoxes returns the boxes of the motifs' vertices where they are by now, and of
// their curves where they were.
func (s *snapper) movedBoxes() []paths.Rect {
	out := make([]paths.Rect, len(s.motifs))
	for n := range s.motifs {
		out[n] = paths.EmptyRect()
	}
	boxes := make([]paths.Rect, len(s.Strokes))
	cores.Ranges(len(boxes), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			boxes[i] = s.movedBox(i)
		}
	})
	for i, b := range boxes {
		of := &out[s.partOf[i]]
		*of = of.Union(b)
	}
	return out
}

// movedBox returns the box of the vertices of a stroke where they are by now, and of its
// curves where they were.
func (s *snapper) movedBox(i int) paths.Rect {
	b := paths.EmptyRect()
	for j, c := range s.Strokes[i] {
		from, to := s.movedEnds(i, j)
		b = b.Union(paths.RectOf(from, to))
		if _, ok := c.(paths.Line); !ok {
			b = b.Union(c.Bounds())
		}
	}
	return b
}

// edgeGuides lets what of a motif lies beside its outermost straights go with them.
// What lies at the edge of all stays there, so that the drawing keeps its size, if
// its motif stands alone and moves by less than a channel.
func (s *snapper) edgeGuides(axis weave.Axis, n int, box paths.Rect, straights []carry.Guide) []carry.Guide {
	lo, hi := sides(axis, box)
	left, _ := axis.Split(box.Min)
	right, _ := axis.Split(box.Max)
	first, last := straights[0], straights[len(straights)-1]
	for _, l := range straights {
		for _, k := range l.At {
			if k.Fixed <= left+web.Joint {
				left = math.Inf(1)
			}
			if k.Fixed >= right-web.Joint {
				right = math.Inf(-1)
			}
		}
	}
	edge := func(at float64, of carry.Guide) carry.Guide {
		return carry.Guide{At: []carry.Knot{{Fixed: at, Along: lo}, {Fixed: at, Along: max(hi, lo+web.Joint)}}, Mean: at, To: at + of.To - of.Mean, Part: of.Part, Only: true}
	}
	all := s.bounds
	allLeft, _ := axis.Split(all.Min)
	allRight, _ := axis.Split(all.Max)
	stays := func(of carry.Guide) bool {
		return s.opt.Room == nil && !s.repeated[n] && math.Abs(of.To-of.Mean) < s.grid.Pitch(axis)
	}
	var out []carry.Guide
	if left < first.Mean && !(left <= allLeft+web.Joint && stays(first)) {
		out = append(out, edge(left, first))
	}
	if right > last.Mean && !(right >= allRight-web.Joint && stays(last)) {
		out = append(out, edge(right, last))
	}
	return out
}

// roomGuides keeps in the room what is drawn inside it.
func (s *snapper) roomGuides(axis weave.Axis) []carry.Guide {
	lo, hi, toLo, toHi, ok := s.walls(axis)
	if !ok {
		return nil
	}
	end := s.opt.Room.span(1 - axis)
	step := s.grid.Step(axis)
	from, to := float64(end.Lo)*step, float64(end.Hi)*step
	edge := func(at, goes float64) carry.Guide {
		return carry.Guide{At: []carry.Knot{{Fixed: at, Along: from}, {Fixed: at, Along: max(to, from+web.Joint)}}, Mean: at, To: goes, Only: true, Wall: true}
	}
	return []carry.Guide{edge(lo, toLo), edge(hi, toHi)}
}

// carried returns where the two carriers carry p.
func (s *snapper) carried(p paths.Point) paths.Point {
	p.X = s.carriedOne(weave.Across, p.X, p.Y)
	p.Y = s.carriedOne(weave.Along, p.Y, p.X)
	return p.Add(s.shifted)
}
