package language

import (
	"math"

	"weftplot/paths"
)

// nearest returns the parameter of the point of c nearest to p, and how far that
// is, mm.
func nearest(c paths.Curve, p paths.Point) (t, d float64) {
	const steps = 64
	d = math.Inf(1)
	for k := 0; k <= steps; k++ {
		u := float64(k) / steps
		if e := c.At(u).Dist(p); e < d {
			t, d = u, e
		}
	}
	lo, hi := max(0, t-1.0/steps), min(1, t+1.0/steps)
	for range 60 { // golden section would do with fewer; this is exact enough
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if c.At(a).Dist(p) < c.At(b).Dist(p) {
			hi = b
		} else {
			lo = a
		}
	}
	if u := (lo + hi) / 2; c.At(u).Dist(p) <= d {
		t, d = u, c.At(u).Dist(p)
	}
	if t < 1e-9 {
		t = 0
	}
	if t > 1-1e-9 {
		t = 1
	}
	return t, d
}
