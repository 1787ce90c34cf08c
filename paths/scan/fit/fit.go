// Package fit lays lines, arcs, cubics and circles through places that scatter, by least
// squares.
package fit

import (
	"math"

	"weftplot/paths"
)

// Fitter lays lines, arcs and cubics through one smooth run.
type Fitter struct {
	// Q are places along the run, each the mean of the points around it, with
	// the run's ends first and last.
	Q []paths.Point
	// First and Last are the directions of the run at its ends, zero where any
	// direction will do.
	First, Last paths.Point
	// Tol is how far the curves may be from the places.
	Tol float64
	// Kink is the greatest turn between two pieces of the run, in radians.
	Kink float64
}

// piece is a curve from one place of a run to a later one.
type piece struct {
	paths.Curve
	to int
}

// evenings is how often the tolerance is halved in the search for the least that
// takes no more pieces.
const evenings = 5

// Fit returns the run as few curves as keep the tolerance: each reaches as far
// as it can. Then the tolerance is reduced as far as the number of curves
// allows, which evens out the errors.
func (f Fitter) Fit() paths.Stroke {
	best := f.cover(math.MaxInt)
	low, high := 0.0, f.Tol
	for range evenings {
		g := f
		g.Tol = (low + high) / 2
		if s := g.cover(len(best)); s != nil {
			best, high = s, g.Tol
		} else {
			low = g.Tol
		}
	}
	return best
}

// cover covers the run with the pieces that reach farthest, and returns nil
// when that takes more than most.
func (f Fitter) cover(most int) paths.Stroke {
	var out paths.Stroke
	at, dir := 0, f.First
	start := f.Q[0]
	for at < len(f.Q)-1 {
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
func (f Fitter) farthest(i int, start, dir paths.Point) piece {
	best := piece{paths.Line{A: start, B: f.joint(i + 1)}, i + 1}
	for k, try := range []func(int, int, paths.Point, paths.Point) (paths.Curve, bool){f.line, f.arc, f.cubic} {
		p, ok := f.reach(i, k+2, func(j int) (paths.Curve, bool) { return try(i, j, start, dir) })
		if !ok {
			continue
		}
		more := p.to - best.to
		if k == 0 && more >= 0 || more > 1+(best.to-i)/5 || more > 0 && (p.to == len(f.Q)-1 || best.to == i+1) {
			best = p
		}
	}
	return best
}

// reach returns the piece of one kind that goes farthest. It doubles the
// distance until the fit fails, then bisects. The piece covers at least least
// places.
func (f Fitter) reach(i, least int, try func(int) (paths.Curve, bool)) (piece, bool) {
	end := len(f.Q) - 1
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
func (f Fitter) joint(i int) paths.Point {
	if i == 0 || i == len(f.Q)-1 {
		return f.Q[i]
	}
	if i < 2 || i > len(f.Q)-3 {
		return f.Q[i-1].Add(f.Q[i].Mul(2)).Add(f.Q[i+1]).Mul(0.25)
	}
	side := f.Q[i-2].Add(f.Q[i+2]).Mul(-3).Add(f.Q[i-1].Add(f.Q[i+1]).Mul(12))
	return side.Add(f.Q[i].Mul(17)).Mul(1. / 35)
}

// heading returns the direction of the run at place i, zero where any will do.
func (f Fitter) heading(i int) paths.Point {
	switch {
	case i == 0:
		return f.First
	case i == len(f.Q)-1:
		return f.Last
	}
	r := min(HeadingReach, i, len(f.Q)-1-i)
	var d paths.Point
	for k := 1; k <= r; k++ {
		d = d.Add(f.Q[i+k].Sub(f.Q[i-k]).Mul(float64(k)))
	}
	return d.Unit()
}

// HeadingReach is how many places to each side a direction is computed from.
const HeadingReach = 3

// agrees reports whether a curve that has direction d goes with dir; a zero
// direction goes with any.
func (f Fitter) agrees(d, dir paths.Point) bool {
	return dir == paths.Point{} || math.Abs(turnOf(d, dir)) < f.Kink
}

// line tries a line from the start to place j.
func (f Fitter) line(i, j int, start, dir paths.Point) (paths.Curve, bool) {
	l := paths.Line{A: start, B: f.joint(j)}
	d := l.Tangent(0)
	if l.Length() < 1e-6 || !f.agrees(d, dir) || !f.agrees(d, f.heading(j)) {
		return nil, false
	}
	length := l.Length()
	for _, p := range f.Q[i+1 : j] {
		s := p.Sub(l.A)
		if math.Abs(d.Cross(s)) > f.Tol || s.Dot(d) < -f.Tol || s.Dot(d) > length+f.Tol {
			return nil, false
		}
	}
	return l, true
}

// arc tries an arc from the start to place j: of the circles through both, the
// one nearest to the places between, by least squares of their heights above
// the chord.
func (f Fitter) arc(i, j int, start, dir paths.Point) (paths.Curve, bool) {
	to := f.joint(j)
	c := start.Dist(to) / 2
	if j-i < 3 || c < 1e-6 {
		return nil, false
	}
	mid, u := start.Lerp(to, 0.5), to.Sub(start).Unit()
	var sum, weight float64
	for _, p := range f.Q[i+1 : j] {
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
func (f Fitter) follows(a paths.Arc, i, j int) bool {
	r := a.Radius()
	before, turned := a.From.Sub(a.Centre), 0.0
	for _, p := range append(append([]paths.Point{}, f.Q[i+1:j]...), a.To) {
		d := p.Sub(a.Centre)
		if math.Abs(d.Len()-r) > f.Tol {
			return false
		}
		turned += math.Copysign(1, a.Sweep) * turnOf(before, d)
		if turned < -f.Tol/r || turned > math.Abs(a.Sweep)+f.Tol/r {
			return false
		}
		before = d
	}
	return math.Abs(turned-math.Abs(a.Sweep)) < 1e-6
}

// cubic tries a cubic from the start to place j.
func (f Fitter) cubic(i, j int, start, dir paths.Point) (paths.Curve, bool) {
	if j-i < 4 {
		return nil, false
	}
	c, off := cubicThrough(f.Q[i+1:j], start, f.joint(j), dir, f.heading(j))
	return c, off <= f.Tol
}

// turnOf returns the turn from u to v in radians, positive from the x axis towards the y
// axis.
func turnOf(u, v paths.Point) float64 { return math.Atan2(u.Cross(v), u.Dot(v)) }
