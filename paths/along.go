package paths

import "math"

// ParamAt returns the parameter at a length, mm, from the start of a curve, to 1e-8 mm
// of length; 0 and 1 for lengths before the start and beyond the end. On a cubic it is
// found by false position (the Illinois rule: Dowell and Jarratt, BIT 11 (1971) 168-174).
func ParamAt(c Curve, length float64) float64 {
	const slack = 1e-9
	whole := c.Length()
	if length <= slack {
		return 0
	}
	if length >= whole-slack {
		return 1
	}
	if _, isCubic := c.(Cubic); !isCubic {
		return length / whole
	}
	lo, hi, below, above := 0., 1., -length, whole-length
	for range 60 {
		u := (lo*above - hi*below) / (above - below)
		v := Sub(c, 0, u).Length() - length
		switch {
		case math.Abs(v) < 1e-8:
			return u
		case v > 0:
			hi, above, below = u, v, below/2
		default:
			lo, below, above = u, v, above/2
		}
	}
	return (lo + hi) / 2
}
