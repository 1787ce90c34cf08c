package snap

import (
	"math"
	"slices"
	"sync"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/warp"
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
	for i, k := range s.Strokes {
		b := &out[s.partOf[i]]
		for j := range k {
			a, z := s.movedEnds(i, j)
			*b = b.Union(paths.RectOf(a, z))
			if _, ok := k[j].(paths.Line); !ok {
				*b = b.Union(k[j].Bounds())
			}
		}
	}
	return out
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

// image is a curve as it lies after where the maps carry it, from one place to another.
type image struct {
	from, to paths.Point
	stroke   paths.Stroke
}

// images are those of the curves that are drawn as curves.
type images struct {
	of  []int32 // by the number of the curve: 1 + that of its image, 0 for none
	all []image
}

// isCurved reports whether curve j of stroke i is drawn as a curve.
func (s *snapper) isCurved(i, j int) bool {
	_, isLine := s.Strokes[i][j].(paths.Line)
	return !isLine && !s.isTaken(i, j)
}

// draw returns the images of the curves. Each is found by itself, and one that stands in one
// place many times, one after the other, once.
func (s *snapper) draw() *images {
	out := &images{of: make([]int32, s.Curves())}
	var once [][2]int32                     // by image, the stroke and the curve
	alike := make([]int32, len(s.Vertices)) // by vertex, 1 + the last of once that starts there
	for i, st := range s.Strokes {
		for j, c := range st {
			if !s.isCurved(i, j) {
				continue
			}
			e := s.Ends(i, j)
			n := alike[e[0]]
			if n == 0 || !s.isCurve(once[n-1], e, c) {
				once = append(once, [2]int32{int32(i), int32(j)})
				n = int32(len(once))
				alike[e[0]] = n
			}
			out.of[s.First(i)+j] = n
		}
	}
	out.all = make([]image, len(once))
	cores.EachUntil(len(once), s.pause.step, func(n int) {
		i, j := int(once[n][0]), int(once[n][1])
		a, b := s.movedEnds(i, j)
		out.all[n] = image{a, b, s.redrawCurve(s.Strokes[i][j], a, b)}
	})
	return out
}

// isCurve reports whether a curve of a stroke is c, between the same vertices.
func (s *snapper) isCurve(of [2]int32, ends [2]int, c paths.Curve) bool {
	i, j := int(of[0]), int(of[1])
	return s.Ends(i, j) == ends && s.Strokes[i][j] == c
}

// imageOf returns where curve j of stroke i goes.
func (s *snapper) imageOf(i, j int) paths.Stroke {
	if s.images != nil && s.whole[i] == nil {
		if n := s.images.of[s.First(i)+j]; n > 0 {
			m := &s.images.all[n-1]
			if a, b := s.movedEnds(i, j); m.from == a && m.to == b {
				return m.stroke
			}
		}
	}
	return s.redrawOne(i, j)
}

// redraw returns the strokes where they went.
func (s *snapper) redraw() []paths.Stroke {
	still := s.allStill()
	if s.images == nil && !still {
		s.images = s.draw()
	}
	out := make([]paths.Stroke, len(s.Strokes))
	if s.pause.now() {
		return out
	}
	for i, st := range s.Strokes {
		if s.pause.step() {
			return out
		}
		if s.staysAsItIs(i, still) {
			out[i] = slices.Clip(st)
			continue
		}
		for j := range st {
			k := s.imageOf(i, j)
			if len(k) == 1 && k[0].Start() == k[0].End() && len(st) > 1 && k.IsDot() {
				continue // both ends came to one place: nothing is left to draw
			}
			out[i] = append(out[i], k...)
		}
		if len(st) > 0 && len(out[i]) == 0 {
			p := s.moved[s.Ends(i, 0)[0]]
			out[i] = paths.Stroke{paths.Line{A: p, B: p}}
		}
	}
	return out
}

// staysAsItIs reports that the image of a stroke is the stroke: it is of lines with ends that
// stay where they are, or of any curves where all is still.
func (s *snapper) staysAsItIs(i int, still bool) bool {
	for j, c := range s.Strokes[i] {
		l, isLine := c.(paths.Line)
		if !isLine && (!still || s.isTaken(i, j)) || isLine && l.A == l.B {
			return false
		}
		if a, b := s.movedEnds(i, j); a != c.Start() || b != c.End() {
			return false
		}
	}
	return true
}

// redrawOne returns curve j of stroke i where it went.
func (s *snapper) redrawOne(i, j int) paths.Stroke {
	c := s.Strokes[i][j]
	a, b := s.movedEnds(i, j)
	_, isLine := c.(paths.Line)
	switch {
	case isLine || s.isTaken(i, j):
		return paths.Stroke{paths.Line{A: a, B: b}}
	case s.whole[i] != nil:
		return paths.Stroke{warp.Translated(c, *s.whole[i], a, b)}
	}
	return s.redrawCurve(c, a, b)
}

// redrawCurve returns the image of an arc or a cubic that is to go from a to b. One that
// would bulge out of the room is divided where it turns, so that it comes back there.
func (s *snapper) redrawCurve(c paths.Curve, a, b paths.Point) paths.Stroke {
	f := s.fading(c, a, b)
	out := warp.Curve(c, f, a, b, s.opt.Tolerance, s.finest())
	if !s.sticksOut(c, out) {
		return out
	}
	out = nil
	turns, from := paths.Turns(c), 0.0
	for _, t := range append(turns, 1) {
		rest, to := c, b
		if t < 1 {
			c, rest = c.Split((t - from) / (1 - from))
			to = f(c.End())
		}
		out = append(out, warp.Curve(c, f, a, to, s.opt.Tolerance, s.finest())...)
		c, a, from = rest, to, t
	}
	return out
}

// sticksOut reports whether the image of a curve that lies in the room reaches out of it.
func (s *snapper) sticksOut(c paths.Curve, image paths.Stroke) bool {
	if s.opt.Room == nil {
		return false
	}
	room := s.opt.Room.rect(s.grid).Grow(s.opt.Tolerance)
	was, _ := room.Excess(c.Bounds())
	is, _ := room.Excess(image.Bounds())
	return was <= 0 && is > 0
}

// fading returns the map of what lies on a curve that is to go from a to b: where an end
// was put elsewhere than the carriers say, the difference fades along the chord.
func (s *snapper) fading(c paths.Curve, a, b paths.Point) func(paths.Point) paths.Point {
	from, to := c.Start(), c.End()
	ea, eb := a.Sub(s.carried(from)), b.Sub(s.carried(to))
	if ea == (paths.Point{}) && eb == ea {
		return s.carried
	}
	return func(p paths.Point) paths.Point {
		t, _ := paths.Line{A: from, B: to}.Nearest(p)
		q := s.carried(p).Add(ea.Lerp(eb, t)).Sub(s.shifted)
		return paths.Point{X: s.walled(weave.Across, p.X, q.X), Y: s.walled(weave.Along, p.Y, q.Y)}.Add(s.shifted)
	}
}

// finest returns the step at which the maps may bend anew, mm: less than a third of the
// way between two straights half a channel apart.
func (s *snapper) finest() float64 { return min(s.grid.Across, s.grid.Along) / 10 }
