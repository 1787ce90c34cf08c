package carry

import "math"

// passing is a point a map passes: x goes to y.
type passing struct {
	x, y float64
	part int // as of its guide
}

// knots are the points a border's map passes at one value v.
type knots struct {
	fade float64
	set  []*Guide
	v    float64
}

// pass returns the point of straight i; beyond the last one a point of the identity
// so far away that the two do not see each other.
func (k *knots) pass(i int) passing {
	n := len(k.set)
	switch {
	case i < 0:
		a := k.pass(0)
		x := a.x - 100*k.reach(a, a)
		return passing{x, x, noMotif}
	case i >= n:
		a := k.pass(n - 1)
		x := a.x + 100*k.reach(a, a)
		return passing{x, x, noMotif}
	}
	return passing{k.set[i].fixedAt(k.v), k.set[i].To, k.set[i].Part}
}

// reach returns how far the movements of two straights reach into empty cloth: far
// enough for the slope not to fall below a half.
func (k *knots) reach(a, b passing) float64 {
	out := k.fade // max would look for NaN too, which there is none of
	if by := 3 * math.Abs(a.y-a.x); by > out {
		out = by
	}
	if by := 3 * math.Abs(b.y-b.x); by > out {
		out = by
	}
	return out
}

// way is what lies between two neighbouring straights.
type way struct {
	a, b passing
	gap  float64
	// t is how far along it, as a share, the movements of the straights reach: to one
	// point after a and one before b.
	t float64
	// near is 1 for straights so close that nothing fades between them, and for those of
	// one motif, 0 for those so far apart that there is cloth at rest between.
	near float64
}

// make makes the way what lies between two points.
func (w *way) make(k *knots, a, b passing) {
	w.a, w.b, w.gap, w.near = a, b, b.x-a.x, 1
	reach := k.reach(a, b)
	w.t = min(reach, w.gap/3) / w.gap
	if (a.part == noMotif || a.part != b.part) && w.gap > 3*reach {
		w.near = min(1, max(0, 2-w.gap/(3*reach)))
	}
}

// at returns the point at a share of the way: on the straight line from one straight
// to the other where they are close, on the identity where they are far apart, in
// between where they are in between.
func (w *way) at(t float64) passing {
	x := w.a.x + w.gap*t
	return passing{x, x + w.near*((w.a.y-w.a.x)*(1-t)+(w.b.y-w.b.x)*t), noMotif}
}

// slope returns the slope at q, one of the two points of the way, between its neighbours.
// Where there is cloth at rest between the straights it is the slope of the identity; any
// other would swing out in the middle, the more the wider it is. The slope 1 keeps to
// Fritsch and Carlson's condition, as none of the pieces beside it is flatter than a half.
func (w *way) slope(p, q, r passing) float64 {
	if w.near == 0 {
		return 1
	}
	return 1 + w.near*(butland(p, q, r)-1)
}

// slope returns the slope at b, a straight, from the point q before it and the straight
// after it, of the given number.
func (k *knots) slope(q, b passing, after int) float64 {
	var w way
	w.make(k, b, k.pass(after))
	return butland(q, b, w.at(w.t))
}

// slopeBack is slope the other way round.
func (k *knots) slopeBack(before int, a, p passing) float64 {
	var w way
	w.make(k, k.pass(before), a)
	return butland(w.at(1-w.t), a, p)
}

// butland returns the slope at the middle of three points, 0 where they do not
// rise on both sides.
func butland(a, b, c passing) float64 {
	h0, d0, h1, d1 := b.x-a.x, b.y-a.y, c.x-b.x, c.y-b.y
	if !(h0 > 0 && h1 > 0 && d0 > 0 && d1 > 0) {
		return 0
	}
	return 3 * (h0 + h1) / ((2*h1+h0)*h0/d0 + (h1+2*h0)*h1/d1)
}

// hermiteCubic returns the value at x of the cubic through a and b with the
// slopes m and n there.
func hermiteCubic(a passing, m float64, b passing, n, x float64) float64 {
	h := b.x - a.x
	if !(h > 0) {
		return a.y
	}
	t := (x - a.x) / h
	s := 1 - t
	return a.y*(1+2*t)*s*s + m*h*t*s*s + b.y*(3-2*t)*t*t - n*h*s*t*t
}
