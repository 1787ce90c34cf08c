package dxf

import (
	"math"
	"slices"

	"weftplot/paths"
)

// spline is a spline in space: by its control points, or by points that it is
// to go through.
type spline struct {
	degree  int
	closed  bool
	knots   []float64
	weights []float64 // nil when all are one
	control []vec
	through []vec
	// leave and arrive are the directions at the ends of a spline through points,
	// zero where none is given.
	leave, arrive vec
}

// Bits of the flags of a spline: closed, and periodic, which is closed as well.
const splineClosed = 1 | 2

// maxDegree bounds the degree of a spline; drawing programs go no further than
// a dozen.
const maxDegree = 25

func buildSpline(e *record) body {
	s := &spline{
		degree: e.whole(71, 3), closed: e.whole(70, 0)&splineClosed != 0,
		knots: e.floats(40), weights: e.floats(41), control: e.vecs(10), through: e.vecs(11),
		leave: e.vec(12), arrive: e.vec(13),
	}
	if !slices.ContainsFunc(s.weights, func(w float64) bool { return w != 1 }) {
		s.weights = nil
	}
	if g, ok := e.find(71); len(s.control) > 0 && !s.isSound() {
		if !ok && len(e.groups) > 0 {
			g = e.groups[0]
		}
		e.isBad(g)
	}
	return s
}

// isSound reports whether the numbers make a spline: as many knots as degree
// and control points ask for, never descending, and weights above zero.
func (s *spline) isSound() bool {
	n := len(s.control)
	if s.degree < 1 || s.degree > maxDegree || n <= s.degree || len(s.knots) != n+s.degree+1 {
		return false
	}
	if s.weights != nil && len(s.weights) != n {
		return false
	}
	for _, w := range s.weights {
		if w <= 0 {
			return false
		}
	}
	return slices.IsSorted(s.knots) && s.knots[s.degree] < s.knots[n]
}

func (s *spline) count() int { return max(len(s.control), len(s.through)) }

// maxSplining bounds the steps of evaluating splines in one file.
const maxSplining = 200_000_000

func (s *spline) draw(d *draught, m space) {
	cost := (s.degree + 1) * (s.degree + 1) * (s.degree + 1)
	if s.weights != nil || s.degree > 3 {
		cost *= 8 // they are approximated in pieces, and each piece is checked
	}
	if d.r.splining += cost * s.count(); d.r.splining > maxSplining {
		d.r.halt(d.e.line, d.e.kind, "the splines are too many and of too high a degree")
		return
	}
	seen := func(pts []vec) []paths.Point {
		out := make([]paths.Point, len(pts))
		for i, p := range pts {
			out[i] = m.apply(p).fromAbove()
		}
		return out
	}
	if len(s.control) == 0 {
		for _, c := range through(seen(s.through), m.dir(s.leave).fromAbove(), m.dir(s.arrive).fromAbove(), s.closed) {
			d.add(c)
		}
		return
	}
	n := nurbs{s.degree, s.knots, seen(s.control), s.weights}
	size := paths.RectOf(n.control...)
	reach := math.Hypot(size.Width(), size.Height())
	if reach == 0 || math.IsInf(reach, 0) || math.IsNaN(reach) {
		return
	}
	const fine = 1e-6 // as a share of the spline's size, for one that is later enlarged
	curves := n.curves(min(d.r.opt.Tolerance, fine*reach))
	if s.closed && len(curves) > 0 {
		closeUp(curves, 1e-9*reach)
	}
	for _, c := range curves {
		if c.Start() != c.End() || c.Length() > 0 {
			d.add(c)
		}
	}
}

// closeUp makes a chain of curves end exactly where it starts, if it does so to
// within rounding.
func closeUp(curves []paths.Curve, rounding float64) {
	start, last := curves[0].Start(), len(curves)-1
	if curves[last].End() == start || curves[last].End().Dist(start) > rounding {
		return
	}
	switch c := curves[last].(type) {
	case paths.Line:
		c.B = start
		curves[last] = c
	case paths.Cubic:
		c.D = start
		curves[last] = c
	case paths.Arc:
		c.To = start
		curves[last] = c
	}
}
