package snap

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/warp"
	"weftplot/paths/weave"
)

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
		return func(p paths.Point) paths.Point {
			switch p { // the ends are asked for again and again
			case from:
				return a
			case to:
				return b
			}
			return s.carried(p)
		}
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
