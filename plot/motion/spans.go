package motion

import (
	"math"

	"weftplot/paths"
)

// spanMM is about how long a span of a cubic is: short enough that its
// sharpest bend stands for all of it.
const spanMM = 0.5

// eachSpan cuts a cubic into spans with the least radius of curvature of each,
// +Inf on a straight one.
func eachSpan(c paths.Cubic, do func(span paths.Curve, radius float64)) {
	n := min(max(8, int(math.Ceil(c.Length()/spanMM))), 512)
	before := bend(c, 0)
	for i := range n {
		t0, t1 := float64(i)/float64(n), float64(i+1)/float64(n)
		middle, after := bend(c, (t0+t1)/2), bend(c, t1)
		do(paths.Sub(c, t0, t1), 1/max(before, middle, after))
		before = after
	}
}

// bend returns the curvature of c at t, 1/mm: |p' x p”| / |p'|³. At a cusp,
// where the velocity vanishes, it is 0: the corner there is a joint's affair.
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
