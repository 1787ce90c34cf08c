package snap

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// carry makes the two carriers and moves every vertex. The coordinate across goes
// first, everything else keeping its height; the coordinate along follows, at
// the new places across.
func (s *snapper) carry() {
	s.moved = append([]paths.Point(nil), s.vertices.at...)
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		f := s.carrierOf(axis)
		s.carriers[axis] = f
		pitch := s.grid.Pitch(axis)
		for v, p := range s.moved {
			if s.pause.step() {
				return
			}
			fixed, along := axis.Split(p)
			if r := s.on[axis][v]; r != nil {
				fixed = float64(r.channel) * pitch
			} else {
				fixed = f.at(fixed, along)
			}
			s.moved[v] = axis.Point(fixed, along)
		}
	}
	s.keepTouching()
}

// straightened tells, by stroke and curve, what is part of a straight.
func (s *snapper) straightened() [][]bool {
	out := make([][]bool, len(s.strokes))
	for i, st := range s.strokes {
		out[i] = make([]bool, len(st))
	}
	for _, straights := range s.straights {
		for _, r := range straights {
			for _, c := range r.curves {
				out[r.stroke][c] = true
			}
		}
	}
	return out
}

// carrierOf returns the carrier of an axis, its straights where they are by now.
func (s *snapper) carrierOf(axis weave.Axis) *carrier {
	pitch := s.grid.Pitch(axis)
	var lines []guide
	for _, r := range append(s.fixedStraights(axis), s.straights[axis]...) {
		at := r.at
		if len(r.verts) > 0 {
			at = make([]knot, len(r.verts))
			for i, v := range r.verts {
				at[i].fixed, at[i].along = axis.Split(s.moved[v])
				if i > 0 {
					at[i].along = max(at[i].along, at[i-1].along)
				}
			}
		}
		lines = append(lines, guide{at: at, mean: r.mean, to: float64(r.channel) * pitch})
	}
	return newCarrier(lines, pitch, s.grid.Step(axis))
}

// at returns where the two carriers carry p.
func (s *snapper) carried(p paths.Point) paths.Point {
	p.X = s.carriers[weave.Across].at(p.X, p.Y)
	p.Y = s.carriers[weave.Along].at(p.Y, p.X)
	return p
}

// redraw returns the strokes where they went.
func (s *snapper) redraw() []paths.Stroke {
	taken := s.straightened()
	out := make([]paths.Stroke, len(s.strokes))
	for i, st := range s.strokes {
		for j, c := range st {
			if s.pause.step() {
				return out
			}
			a, b := s.moved[s.ends[i][j][0]], s.moved[s.ends[i][j][1]]
			_, isLine := c.(paths.Line)
			switch {
			case (isLine || taken[i][j]) && a == b && len(st) > 1:
				// Both ends came to one place: nothing is left to draw.
			case isLine || taken[i][j]:
				out[i] = append(out[i], paths.Line{A: a, B: b})
			default:
				out[i] = append(out[i], s.redrawCurve(c, a, b)...)
			}
		}
		if len(st) > 0 && len(out[i]) == 0 {
			p := s.moved[s.ends[i][0][0]]
			out[i] = paths.Stroke{paths.Line{A: p, B: p}}
		}
	}
	return out
}

// still is a movement too small to redraw a curve for, mm.
const still = 1e-9

// redrawCurve returns the image of an arc or a cubic that is to go from a to b.
func (s *snapper) redrawCurve(c paths.Curve, a, b paths.Point) paths.Stroke {
	from, to := c.Start(), c.End()
	ea, eb := a.Sub(s.carried(from)), b.Sub(s.carried(to))
	// Where an end was put elsewhere than the carriers say, the difference fades
	// along the chord.
	f := func(p paths.Point) paths.Point {
		q := s.carried(p)
		if ea == (paths.Point{}) && eb == ea {
			return q
		}
		t, _ := paths.Line{A: from, B: to}.Nearest(p)
		return q.Add(ea.Lerp(eb, t))
	}
	if d, ok := shift(c, f); ok {
		return paths.Stroke{translated(c, d, a, b)}
	}
	if arc, ok := c.(paths.Arc); ok {
		if fit, ok := refitArc(arc, f, a, b, s.opt.Tolerance); ok {
			return paths.Stroke{fit}
		}
	}
	return pinEnds(paths.Warp(paths.Stroke{c}, f, s.opt.Tolerance), a, b)
}

// shift returns the one movement of all of c, if there is one.
func shift(c paths.Curve, f func(paths.Point) paths.Point) (paths.Point, bool) {
	const n = 16
	p := c.Start()
	d := f(p).Sub(p)
	for i := 1; i <= n; i++ {
		p := c.At(float64(i) / n)
		if f(p).Sub(p).Dist(d) > still {
			return d, false
		}
	}
	return d, true
}

// translated returns c moved by d, its ends exactly a and b.
func translated(c paths.Curve, d, a, b paths.Point) paths.Curve {
	switch c := c.(type) {
	case paths.Arc:
		return paths.Arc{From: a, To: b, Centre: c.Centre.Add(d), Sweep: c.Sweep}
	case paths.Cubic:
		return paths.Cubic{A: a, B: c.B.Add(d), C: c.C.Add(d), D: b}
	}
	return paths.Line{A: a, B: b}
}

// refitArc returns the arc from a to b through the image of the middle, if it
// follows the image of the whole.
func refitArc(c paths.Arc, f func(paths.Point) paths.Point, a, b paths.Point, tol float64) (paths.Curve, bool) {
	chord := b.Sub(a)
	if chord.Len() == 0 || math.Abs(c.Sweep) > 1.5*math.Pi {
		return nil, false
	}
	mid := f(c.At(0.5)).Sub(a.Lerp(b, 0.5))
	// The bulge is the sagitta over half the chord, to the right of travel when
	// the arc is counter-clockwise.
	bulge := -mid.Dot(chord.Left()) / chord.Dot(chord) * 2
	arc, ok := paths.ArcBulge(a, b, bulge).(paths.Arc)
	if !ok {
		return nil, false
	}
	for t := 0.0625; t < 1; t += 0.0625 {
		p := f(c.At(t))
		if math.Abs(p.Dist(arc.Centre)-arc.Radius()) > tol/2 || p.Dist(arc.At(t)) > 10*tol+arc.Radius()/20 {
			return nil, false
		}
	}
	return arc, true
}

// pinEnds returns s with its ends exactly at a and b.
func pinEnds(s paths.Stroke, a, b paths.Point) paths.Stroke {
	if len(s) > 0 {
		n := len(s) - 1
		s[0] = paths.WithEnds(s[0], a, s[0].End())
		s[n] = paths.WithEnds(s[n], s[n].Start(), b)
	}
	return s
}
