package order

import (
	"math"

	"weftplot/paths"
)

// nearestOn returns the parameter of the point of c nearest to p and how far
// away that is.
func nearestOn(c paths.Curve, p paths.Point) (t, dist float64) {
	switch c := c.(type) {
	case paths.Line:
		t = nearestOnLine(c, p)
	case paths.Arc:
		t = nearestOnArc(c, p)
	default:
		t = nearestBySearch(c, p)
	}
	return t, c.At(t).Dist(p)
}

func nearestOnLine(l paths.Line, p paths.Point) float64 {
	d := l.B.Sub(l.A)
	if l2 := d.Dot(d); l2 > 0 {
		return min(1, max(0, p.Sub(l.A).Dot(d)/l2))
	}
	return 0
}

func nearestOnArc(a paths.Arc, p paths.Point) float64 {
	if a.Sweep == 0 {
		return 0
	}
	turn := p.Sub(a.Centre).Angle() - a.From.Sub(a.Centre).Angle()
	if a.Sweep < 0 {
		turn = -turn
	}
	turn = math.Mod(turn+4*math.Pi, 2*math.Pi)
	t := turn / math.Abs(a.Sweep)
	switch {
	case t <= 1:
		return t
	case a.From.Dist(p) <= a.To.Dist(p):
		return 0
	}
	return 1
}

// nearestBySearch samples the curve and narrows down on both sides of each
// sample that is nearer than its neighbours. In a bend much tighter than a
// twenty-fourth of the curve it may find a point that is not quite the nearest.
func nearestBySearch(c paths.Curve, p paths.Point) float64 {
	const samples = 24
	var d [samples + 1]float64
	for i := range d {
		d[i] = c.At(float64(i) / samples).Dist(p)
	}
	best, least := 0., math.Inf(1)
	for i := range d {
		if i > 0 && d[i] > d[i-1] || i < samples && d[i] > d[i+1] {
			continue
		}
		at := float64(i) / samples
		if d[i] < least {
			best, least = at, d[i]
		}
		// On each side by itself: a hairpin may pass p on both.
		for _, side := range [2][2]float64{{max(0, at-1./samples), at}, {at, min(1, at+1./samples)}} {
			if side[0] == side[1] {
				continue
			}
			t, near := narrow(func(t float64) float64 { return c.At(t).Dist(p) }, side[0], side[1])
			if near < least {
				best, least = t, near
			}
		}
	}
	return best
}

// narrow returns the least value of f between a and b and where it is, by
// golden section, for an f that falls and then rises.
func narrow(f func(float64) float64, a, b float64) (at, least float64) {
	const g = 0.6180339887498949
	x, y := b-g*(b-a), a+g*(b-a)
	fx, fy := f(x), f(y)
	for range 60 {
		if b-a <= 1e-12 {
			break
		}
		if fx <= fy {
			b, y, fy = y, x, fx
			x = b - g*(b-a)
			fx = f(x)
		} else {
			a, x, fx = x, y, fy
			y = a + g*(b-a)
			fy = f(y)
		}
	}
	if fx <= fy {
		return x, fx
	}
	return y, fy
}
