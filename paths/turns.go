package paths

import (
	"math"
	"slices"
)

// Turns returns the parameters inside (0, 1), rising, at which c stops rising
// or falling in x or in y. Between two neighbouring ones x and y only rise or
// only fall, so c cannot meet itself there.
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

// quarters returns the parameters at which the direction from the centre is a
// whole number of quarter turns, in no order. One at an end of the arc may lie
// a little beyond the end.
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
