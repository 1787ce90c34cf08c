package motion

import "math"

// HopTime returns the function from the length of a pen-up hop in mm to the
// seconds it takes from rest to rest: d/v + v/a, or 2√(d/a) where the hop is too
// short for the travel speed (textbook kinematics). Lifting and lowering the pen
// takes the same for every hop and is left out.
func HopTime(l Limits) func(mm float64) float64 {
	return func(d float64) float64 {
		if d*l.Accel >= l.Travel*l.Travel {
			return d/l.Travel + l.Travel/l.Accel
		}
		return 2 * math.Sqrt(d/l.Accel)
	}
}
