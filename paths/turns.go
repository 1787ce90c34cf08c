package paths

import (
	"math"
	"slices"
)

// Turns returns the parameters inside (0, 1), rising, at which c stops rising
// or falling in x or in y. Between two of them it does neither, and so cannot
// meet itself.
func Turns(c Curve) []float64 {
	var ts []float64
	switch c := c.(type) {
	case Arc:
		ts = c.quarters()
	case Cubic:
		ts = append(stationary(c.A.X, c.B.X, c.C.X, c.D.X), stationary(c.A.Y, c.B.Y, c.C.Y, c.D.Y)...)
	}
	ts = slices.DeleteFunc(ts, func(t float64) bool { return !(t > 0 && t < 1) })
	slices.Sort(ts)
	return slices.Compact(ts)
}

// quarters returns the parameters at which a points to a quarter of a turn from
// its centre, in no order; one that is an end's may be a little beyond it.
func (a Arc) quarters() []float64 {
	if a.Sweep == 0 {
		return nil
	}
	var ts []float64
	start := a.startAngle()
	lo, hi := min(start, start+a.Sweep), max(start, start+a.Sweep)
	for q := math.Ceil(lo / (math.Pi / 2)); q*math.Pi/2 <= hi; q++ {
		ts = append(ts, (q*math.Pi/2-start)/a.Sweep)
	}
	return ts
}
