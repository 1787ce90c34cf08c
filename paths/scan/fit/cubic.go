package fit

import "weftplot/paths"

// cubicThrough returns the cubic from a to d nearest to places between, after
// Schneider, "An algorithm for automatically fitting digitized curves",
// Graphics Gems (1990): least squares for the lengths of the handles, with each
// place at first at its share of the length of the chords, which Newton's
// method then improves a few times. first and last are the directions at the
// ends; where one is zero the handle there is free, and found by the same least
// squares. off is how far away the farthest place is.
func cubicThrough(q []paths.Point, a, d, first, last paths.Point) (c paths.Cubic, off float64) {
	u := shares(q, a, d)
	c = handles(q, u, a, d, first, last)
	for range 8 {
		off = 0
		for i, p := range q {
			u[i] = closer(c, p, u[i])
			off = max(off, p.Dist(c.At(u[i])))
		}
		c = handles(q, u, a, d, first, last)
	}
	return c, off
}

// shares returns for each place what share of the way from a to d lies before it,
// along the chords.
func shares(q []paths.Point, a, d paths.Point) []float64 {
	u := make([]float64, len(q))
	var s float64
	before := a
	for i, p := range q {
		s += p.Dist(before)
		u[i], before = s, p
	}
	s += d.Dist(before)
	for i := range u {
		u[i] /= s
	}
	return u
}

// handles finds the handles of a cubic by least squares: each is its end and one
// direction times an unknown, or both axes times two.
func handles(q []paths.Point, u []float64, a, d, first, last paths.Point) paths.Cubic {
	one, two := unknowns(first), unknowns(last.Mul(-1))
	x, ok := solveHandles(q, u, a, d, one, two)
	chord := a.Dist(d)
	b, fair := handle(a, one, x[:len(one)], chord)
	c, fairToo := handle(d, two, x[len(one):], chord)
	// A handle that points back, or is longer than six chords, is useless. Use
	// a third of the chord instead, as Schneider does.
	if !ok || !fair {
		b = a.Add(third(first, d.Sub(a)))
	}
	if !ok || !fairToo {
		c = d.Add(third(last.Mul(-1), a.Sub(d)))
	}
	return paths.Cubic{A: a, B: b, C: c, D: d}
}

// unknowns returns the directions that a handle is made up of: that given, or both
// axes where it is zero.
func unknowns(dir paths.Point) []paths.Point {
	if dir == (paths.Point{}) {
		return []paths.Point{{X: 1}, {Y: 1}}
	}
	return []paths.Point{dir}
}

// solveHandles returns the lengths along the unknowns of both handles. Where they
// are not determined ok is false and the lengths are 0.
func solveHandles(q []paths.Point, u []float64, a, d paths.Point, one, two []paths.Point) (x []float64, ok bool) {
	n := len(one) + len(two)
	eq := NewEquations(n)
	rx, ry := make([]float64, n), make([]float64, n)
	for i, p := range q {
		t, v := u[i], 1-u[i]
		b1, b2 := 3*t*v*v, 3*t*t*v
		rest := p.Sub(a.Mul(v*v*v + b1)).Sub(d.Mul(t*t*t + b2))
		for k, e := range one {
			rx[k], ry[k] = b1*e.X, b1*e.Y
		}
		for k, e := range two {
			rx[len(one)+k], ry[len(one)+k] = b2*e.X, b2*e.Y
		}
		eq.Add(rx, rest.X, 1)
		eq.Add(ry, rest.Y, 1)
	}
	if x, ok = eq.Solve(); !ok {
		x = make([]float64, n)
	}
	return x, ok
}

// handle returns the end of a handle that starts at a, and whether it neither points
// back nor is longer than six chords.
func handle(a paths.Point, dirs []paths.Point, x []float64, chord float64) (end paths.Point, ok bool) {
	end = a
	for k, e := range dirs {
		end = end.Add(e.Mul(x[k]))
	}
	return end, (len(dirs) != 1 || x[0] >= 0.02*chord) && end.Dist(a) <= 6*chord
}

// third returns a handle of a third of the chord, along dir where that is given.
func third(dir, chord paths.Point) paths.Point {
	if dir == (paths.Point{}) {
		return chord.Mul(1. / 3)
	}
	return dir.Mul(chord.Len() / 3)
}

// closer returns a parameter whose place on c is nearer to p than that of u, by
// one step of Newton's method.
func closer(c paths.Cubic, p paths.Point, u float64) float64 {
	v := 1 - u
	d := c.At(u).Sub(p)
	d1 := c.B.Sub(c.A).Mul(3 * v * v).Add(c.C.Sub(c.B).Mul(6 * u * v)).Add(c.D.Sub(c.C).Mul(3 * u * u))
	d2 := c.A.Sub(c.B.Mul(2)).Add(c.C).Mul(6 * v).Add(c.B.Sub(c.C.Mul(2)).Add(c.D).Mul(6 * u))
	den := d1.Dot(d1) + d.Dot(d2)
	if den <= 1e-12 {
		return u
	}
	return min(1, max(0, u-d.Dot(d1)/den))
}
