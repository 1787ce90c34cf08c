package motion

import (
	"math"

	"weftplot/paths"
)

// spanMM is about how long a span of a cubic is, and maxSpans how many there
// are at most: short enough to be planned by its sharpest bend alone.
const (
	spanMM   = 0.5
	maxSpans = 64
)

// eachSpan cuts a cubic into spans with the least radius of curvature of each,
// +Inf on a straight one. A cubic that bends evenly is a single span.
func eachSpan(c paths.Cubic, do func(span paths.Curve, radius float64)) {
	n := min(max(8, int(math.Ceil(c.Length()/spanMM))), maxSpans)
	if least, most := bends(c, 0, 1, 8); most <= 1.02*least {
		n = 1
	}
	for i := range n {
		t0, t1 := float64(i)/float64(n), float64(i+1)/float64(n)
		_, most := bends(c, t0, t1, 4)
		do(paths.Sub(c, t0, t1), 1/most)
	}
}

// bends returns the least and the greatest curvature of c at n+1 places between
// two parameters.
func bends(c paths.Cubic, t0, t1 float64, n int) (least, most float64) {
	least = math.Inf(1)
	for k := 0; k <= n; k++ {
		b := bend(c, t0+(t1-t0)*float64(k)/float64(n))
		least, most = min(least, b), max(most, b)
	}
	return least, most
}

// bend returns the curvature of c at t, 1/mm: |p' x p”| / |p'|³. At a cusp,
// where the velocity vanishes, it is 0: the corner there is handled as a joint.
func bend(c paths.Cubic, t float64) float64 {
	u := 1 - t
	d1 := c.B.Sub(c.A).Mul(3 * u * u).Add(c.C.Sub(c.B).Mul(6 * u * t)).Add(c.D.Sub(c.C).Mul(3 * t * t))
	d2 := c.A.Sub(c.B.Mul(2)).Add(c.C).Mul(6 * u).Add(c.B.Sub(c.C.Mul(2)).Add(c.D).Mul(6 * t))
	v := d1.Len()
	if v < 1e-9 {
		return 0
	}
	return math.Abs(d1.Cross(d2)) / (v * v * v)
}
