package scan

import (
	"math"

	"weftplot/paths"
)

// fitter lays lines, arcs and cubics through one smooth run.
type fitter struct {
	// q are places along the run, each the mean of the points around it, with
	// the run's ends first and last.
	q []paths.Point
	// first and last are the directions of the run at its ends, zero where any
	// direction will do.
	first, last paths.Point
	// tol is how far the curves may be from the places.
	tol float64
	// kink is the greatest turn between two pieces of the run.
	kink float64
}

// piece is a curve from one place of a run to a later one.
type piece struct {
	paths.Curve
	to int
}

// evenings is how often the tolerance is halved in the search for the least that
// takes no more pieces.
const evenings = 5

// fit returns the run as few curves as keep the tolerance: each reaches as far
// as it can. Then the tolerance is reduced as far as the number of curves
// allows, which evens out the errors.
func (f fitter) fit() paths.Stroke {
	best := f.cover(math.MaxInt)
	low, high := 0.0, f.tol
	for range evenings {
		g := f
		g.tol = (low + high) / 2
		if s := g.cover(len(best)); s != nil {
			best, high = s, g.tol
		} else {
			low = g.tol
		}
	}
	return best
}

// cover covers the run with the pieces that reach farthest, and returns nil
// when that takes more than most.
func (f fitter) cover(most int) paths.Stroke {
	var out paths.Stroke
	at, dir := 0, f.first
	start := f.q[0]
	for at < len(f.q)-1 {
		if len(out) == most {
			return nil
		}
		p := f.farthest(at, start, dir)
		out = append(out, p.Curve)
		at, dir, start = p.to, p.Tangent(1), p.End()
	}
	return out
}

// farthest returns the piece from place i that goes farthest. A line is taken
// before an arc and an arc before a cubic that goes little farther.
func (f fitter) farthest(i int, start, dir paths.Point) piece {
	best := piece{paths.Line{A: start, B: f.joint(i + 1)}, i + 1}
	for k, try := range []func(int, int, paths.Point, paths.Point) (paths.Curve, bool){f.line, f.arc, f.cubic} {
		p, ok := f.reach(i, k+2, func(j int) (paths.Curve, bool) { return try(i, j, start, dir) })
		if !ok {
			continue
		}
		more := p.to - best.to
		if k == 0 && more >= 0 || more > 1+(best.to-i)/5 || more > 0 && (p.to == len(f.q)-1 || best.to == i+1) {
			best = p
		}
	}
	return best
}

// reach returns the piece of one kind that goes farthest. It doubles the
// distance until the fit fails, then bisects. The piece covers at least least
// places.
func (f fitter) reach(i, least int, try func(int) (paths.Curve, bool)) (piece, bool) {
	end := len(f.q) - 1
	if c, ok := try(end); ok {
		return piece{c, end}, true
	}
	var best piece
	good, bad := i+least-1, end
	for j := i + least; good+1 < bad; {
		j = min(j, bad-1)
		if c, ok := try(j); ok {
			best, good = piece{c, j}, j
		} else {
			bad = j
		}
		if bad == end {
			j = i + 2*(good-i)
		} else {
			j = (good + bad) / 2
		}
	}
	return best, best.Curve != nil
}

// joint returns where pieces meet at place i: the middle of the parabola nearest
// to five places about it (Savitzky and Golay, "Smoothing and differentiation of
// data by simplified least squares procedures", Analytical Chemistry 36 (1964)).
func (f fitter) joint(i int) paths.Point {
	if i == 0 || i == len(f.q)-1 {
		return f.q[i]
	}
	if i < 2 || i > len(f.q)-3 {
		return f.q[i-1].Add(f.q[i].Mul(2)).Add(f.q[i+1]).Mul(0.25)
	}
	side := f.q[i-2].Add(f.q[i+2]).Mul(-3).Add(f.q[i-1].Add(f.q[i+1]).Mul(12))
	return side.Add(f.q[i].Mul(17)).Mul(1. / 35)
}

// heading returns the direction of the run at place i, zero where any will do.
func (f fitter) heading(i int) paths.Point {
	switch {
	case i == 0:
		return f.first
	case i == len(f.q)-1:
		return f.last
	}
	r := min(headingReach, i, len(f.q)-1-i)
	var d paths.Point
	for k := 1; k <= r; k++ {
		d = d.Add(f.q[i+k].Sub(f.q[i-k]).Mul(float64(k)))
	}
	return d.Unit()
}

// headingReach is how many places to each side a direction is computed from.
const headingReach = 3

// agrees reports whether a curve that has direction d goes with dir; a zero
// direction goes with any.
func (f fitter) agrees(d, dir paths.Point) bool {
	return dir == paths.Point{} || turn(d, dir) < f.kink
}

// line tries a line from the start to place j.
func (f fitter) line(i, j int, start, dir paths.Point) (paths.Curve, bool) {
	l := paths.Line{A: start, B: f.joint(j)}
	d := l.Tangent(0)
	if l.Length() < 1e-6 || !f.agrees(d, dir) || !f.agrees(d, f.heading(j)) {
		return nil, false
	}
	length := l.Length()
	for _, p := range f.q[i+1 : j] {
		s := p.Sub(l.A)
		if math.Abs(d.Cross(s)) > f.tol || s.Dot(d) < -f.tol || s.Dot(d) > length+f.tol {
			return nil, false
		}
	}
	return l, true
}

// arc tries an arc from the start to place j: of the circles through both, the
// one nearest to the places between, by least squares of their heights above
// the chord.
func (f fitter) arc(i, j int, start, dir paths.Point) (paths.Curve, bool) {
	to := f.joint(j)
	c := start.Dist(to) / 2
	if j-i < 3 || c < 1e-6 {
		return nil, false
	}
	mid, u := start.Lerp(to, 0.5), to.Sub(start).Unit()
	var sum, weight float64
	for _, p := range f.q[i+1 : j] {
		d := p.Sub(mid)
		x, y := d.Dot(u), u.Cross(d)
		share := 1 - (x/c)*(x/c)
		if h, ok := heightThrough(x, y, c); ok && math.Abs(share) > 0.05 {
			w := share * share / (1 + (y/c)*(y/c))
			sum, weight = sum+w*h, weight+w
		}
	}
	if weight == 0 {
		return nil, false
	}
	arc, ok := paths.ArcBulge(start, to, -sum/weight/c).(paths.Arc)
	if !ok || math.Abs(arc.Sweep) > 1.6*math.Pi || !f.agrees(arc.Tangent(0), dir) || !f.agrees(arc.Tangent(1), f.heading(j)) {
		return nil, false
	}
	return arc, f.follows(arc, i, j)
}

// heightThrough returns the height of the circle through (-c, 0), (c, 0) and
// (x, y) above the middle of the chord, on the side of the third point.
func heightThrough(x, y, c float64) (float64, bool) {
	if math.Abs(y) < 1e-9 {
		return 0, math.Abs(x) < c
	}
	centre := (x*x + y*y - c*c) / (2 * y)
	r := math.Hypot(c, centre)
	return centre + math.Copysign(r, y), true
}

// follows reports whether the places between i and j lie along an arc in order.
func (f fitter) follows(a paths.Arc, i, j int) bool {
	r := a.Radius()
	before, turned := a.From.Sub(a.Centre), 0.0
	for _, p := range append(append([]paths.Point{}, f.q[i+1:j]...), a.To) {
		d := p.Sub(a.Centre)
		if math.Abs(d.Len()-r) > f.tol {
			return false
		}
		turned += math.Copysign(1, a.Sweep) * turnOf(before, d)
		if turned < -f.tol/r || turned > math.Abs(a.Sweep)+f.tol/r {
			return false
		}
		before = d
	}
	return math.Abs(turned-math.Abs(a.Sweep)) < 1e-6
}

// cubic tries a cubic from the start to place j.
func (f fitter) cubic(i, j int, start, dir paths.Point) (paths.Curve, bool) {
	if j-i < 4 {
		return nil, false
	}
	c, off := cubicThrough(f.q[i+1:j], start, f.joint(j), dir, f.heading(j))
	return c, off <= f.tol
}

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
	eq := newEquations(n)
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
		eq.add(rx, rest.X, 1)
		eq.add(ry, rest.Y, 1)
	}
	if x, ok = eq.solve(); !ok {
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
