package fit

import (
	"math"

	"weftplot/paths"
)

// Line returns the line nearest to points by least squares of the
// distances, as a place on it and a unit direction that leads from the first to the
// last, and how far off the farthest point is. It needs at least two points that differ.
func Line(pts []paths.Point) (c, d paths.Point, off float64) {
	for _, p := range pts {
		c = c.Add(p)
	}
	c = c.Mul(1 / float64(len(pts)))
	var xx, xy, yy float64
	for _, p := range pts {
		q := p.Sub(c)
		xx, xy, yy = xx+q.X*q.X, xy+q.X*q.Y, yy+q.Y*q.Y
	}
	sin, cos := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	if d = (paths.Point{X: cos, Y: sin}); d.Dot(pts[len(pts)-1].Sub(pts[0])) < 0 {
		d = d.Mul(-1)
	}
	for _, p := range pts {
		off = max(off, math.Abs(d.Cross(p.Sub(c))))
	}
	return c, d, off
}

// Parabola returns where and in which direction the parabola nearest to points, by least
// squares, leaves them at the first, its curvature there, positive to the left, and the
// standard deviation of the points from it. It needs at least three points.
func Parabola(pts []paths.Point) (at, dir paths.Point, bend, off float64) {
	o := pts[0]
	u := o.Sub(pts[len(pts)-1]).Unit()
	n := u.Left()
	// y = a + b·x + c·x² in the frame of the chord, x back from the first point.
	eq := NewEquations(3)
	for _, p := range pts {
		q := p.Sub(o)
		x := q.Dot(u)
		eq.Add([]float64{1, x, x * x}, q.Dot(n), 1)
	}
	s, ok := eq.Solve()
	if !ok || math.Abs(s[0]) > o.Dist(pts[len(pts)-1]) {
		return o, u, 0, 0 // points too few or too close to determine a parabola
	}
	for _, p := range pts {
		q := p.Sub(o)
		x := q.Dot(u)
		d := q.Dot(n) - s[0] - s[1]*x - s[2]*x*x
		off += d * d / float64(len(pts))
	}
	bend = 2 * s[2] / math.Pow(1+s[1]*s[1], 1.5)
	return o.Add(n.Mul(s[0])), u.Add(n.Mul(s[1])).Unit(), bend, math.Sqrt(off)
}

// Circle returns the circle nearest to points, by least squares of the
// difference of the squares of distance and radius (Kåsa, "A circle fitting
// procedure and its error analysis", IEEE Transactions on Instrumentation and
// Measurement 25 (1976)). It is accurate for points all round the circle.
func Circle(q []paths.Point) (centre paths.Point, r float64, ok bool) {
	o := q[0]
	eq := NewEquations(3)
	for _, p := range q {
		d := p.Sub(o)
		eq.Add([]float64{2 * d.X, 2 * d.Y, 1}, d.Dot(d), 1)
	}
	x, ok := eq.Solve()
	if !ok {
		return centre, 0, false
	}
	c := paths.Point{X: x[0], Y: x[1]}
	return o.Add(c), math.Sqrt(max(0, x[2]+c.Dot(c))), true
}
