package dxf

import (
	"weftplot/paths"
)

// through returns cubics through points: the spline with continuous curvature
// whose parameter is the length of the chords (C. de Boor, "A Practical Guide
// to Splines", rev. ed., Springer 2001, chapter IV). At an end it leaves in the
// direction given, or without curvature where that is zero. A closed one is
// smooth at its first point too. Repeated points count once.
func through(pts []paths.Point, leave, arrive paths.Point, closed bool) []paths.Curve {
	var p []paths.Point
	for i, q := range pts {
		if i == 0 || q != p[len(p)-1] {
			p = append(p, q)
		}
	}
	if closed && len(p) > 1 && p[0] != p[len(p)-1] {
		p = append(p, p[0])
	}
	if len(p) < 2 {
		return nil
	}
	if len(p) == 2 && leave == arrive && leave == (paths.Point{}) {
		return []paths.Curve{paths.Line{A: p[0], B: p[1]}}
	}
	h := make([]float64, len(p)-1)
	for i := range h {
		h[i] = p[i].Dist(p[i+1])
	}
	var v []paths.Point
	if closed && len(p) > 3 {
		v = periodicVelocities(p, h)
	} else {
		v = velocities(p, h, leave.Unit(), arrive.Unit())
	}
	out := make([]paths.Curve, len(h))
	for i, h := range h {
		out[i] = paths.Cubic{A: p[i], B: p[i].Add(v[i].Mul(h / 3)), C: p[i+1].Sub(v[i+1].Mul(h / 3)), D: p[i+1]}
	}
	return out
}

// row is an equation low·v[i-1] + mid·v[i] + high·v[i+1] = right.
type row struct {
	low, mid, high float64
	right          paths.Point
}

// smooth is the equation of continuous curvature between two pieces of the
// lengths g and h that go from a over b to c.
func smooth(a, b, c paths.Point, g, h float64) row {
	return row{
		low: h, mid: 2 * (g + h), high: g,
		right: b.Sub(a).Mul(3 * h / g).Add(c.Sub(b).Mul(3 * g / h)),
	}
}

// velocities solves for the derivative at every point of an open spline.
func velocities(p []paths.Point, h []float64, leave, arrive paths.Point) []paths.Point {
	n := len(p)
	rows := make([]row, n)
	for i := 1; i < n-1; i++ {
		rows[i] = smooth(p[i-1], p[i], p[i+1], h[i-1], h[i])
	}
	none := paths.Point{}
	if rows[0] = (row{mid: 1, right: leave}); leave == none {
		rows[0] = row{mid: 2, high: 1, right: p[1].Sub(p[0]).Mul(3 / h[0])}
	}
	if rows[n-1] = (row{mid: 1, right: arrive}); arrive == none {
		rows[n-1] = row{low: 1, mid: 2, right: p[n-1].Sub(p[n-2]).Mul(3 / h[n-2])}
	}
	return solve(rows)
}

// periodicVelocities does so for a closed spline, whose last point is its first:
// the two corners of the system are taken out by the formula of Sherman and
// Morrison.
func periodicVelocities(p []paths.Point, h []float64) []paths.Point {
	n := len(h)
	rows := make([]row, n)
	for i := range rows {
		before := (i + n - 1) % n
		rows[i] = smooth(p[before], p[i], p[i+1], h[before], h[i])
	}
	corner, other := rows[0].low, rows[n-1].high
	gamma := -rows[0].mid
	unit := make([]row, n)
	rows[0].mid -= gamma
	rows[n-1].mid -= corner * other / gamma
	copy(unit, rows)
	for i := range unit {
		unit[i].right = paths.Point{}
	}
	unit[0].right = paths.Point{X: gamma}
	unit[n-1].right = paths.Point{X: other}
	v, z := solve(rows), solve(unit)
	k := v[0].Add(v[n-1].Mul(corner / gamma)).Mul(1 / (1 + z[0].X + z[n-1].X*corner/gamma))
	for i := range v {
		v[i] = v[i].Sub(k.Mul(z[i].X))
	}
	return append(v, v[0])
}

// solve solves a system of three diagonals, in which the middle one outweighs
// the others, by elimination from above.
func solve(rows []row) []paths.Point {
	n := len(rows)
	high, v := make([]float64, n), make([]paths.Point, n)
	for i, r := range rows {
		mid, right := r.mid, r.right
		if i > 0 {
			mid -= r.low * high[i-1]
			right = right.Sub(v[i-1].Mul(r.low))
		}
		high[i], v[i] = r.high/mid, right.Mul(1/mid)
	}
	for i := n - 2; i >= 0; i-- {
		v[i] = v[i].Sub(v[i+1].Mul(high[i]))
	}
	return v
}
