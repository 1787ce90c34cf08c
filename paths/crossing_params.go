package paths

import (
	"math"
	"slices"
)

// paramsNear returns the parameters of c, at most one for each pass, where it
// comes within near of p.
func paramsNear(c Curve, p Point, near float64) []float64 {
	if !c.Bounds().Grow(near).Contains(p) {
		return nil
	}
	switch c := c.(type) {
	case Line:
		if t, d := c.Nearest(p); d <= near {
			return []float64{t}
		}
	case Arc:
		var out []float64
		for _, t := range []float64{min(1, c.paramOf(p)), 0} {
			if c.At(t).Dist(p) <= near {
				return append(out, t)
			}
		}
	case Cubic:
		return cubicNear(c, p, near, 0, 1, 48, nil)
	}
	return nil
}

// cubicNear halves c, whose parameters lead from t0 to t1, towards p.
func cubicNear(c Cubic, p Point, near, t0, t1 float64, depth int, out []float64) []float64 {
	hull := RectOf(c.A, c.B, c.C, c.D)
	if !hull.Grow(near).Contains(p) {
		return out
	}
	if depth == 0 || c.flatness() <= near/8 {
		if t, ok := cubicFoot(c, p, near); ok {
			return append(out, t0+t*(t1-t0))
		}
		// A cubic can be straight and its parameter still advance so unevenly that the
		// foot is not found from the middle. A part far shorter than near has none.
		if depth == 0 || offLine(c, p) > 2*near || max(hull.Width(), hull.Height()) < near/4 {
			return out
		}
	}
	a, b := c.halves(0.5)
	mid := (t0 + t1) / 2
	return cubicNear(b, p, near, mid, t1, depth-1, cubicNear(a, p, near, t0, mid, depth-1, out))
}

// cubicFoot looks for the foot of the perpendicular from p on c, which is nearly
// straight. ok is false where no point within near of p was found.
func cubicFoot(c Cubic, p Point, near float64) (t float64, ok bool) {
	t = 0.5
	for range 4 {
		v := c.derivative(t)
		if l2 := v.Dot(v); l2 > 0 {
			t = min(1, max(0, t+p.Sub(c.At(t)).Dot(v)/l2))
		}
	}
	if c.At(t).Dist(p) > near {
		t, _ = Line{c.A, c.D}.Nearest(p)
	}
	return t, c.At(t).Dist(p) <= near
}

// offLine returns how far p is from the line through the ends of c.
func offLine(c Cubic, p Point) float64 { return math.Abs(c.D.Sub(c.A).Unit().Cross(p.Sub(c.A))) }

// cubicRoots returns where the cubic with these Bernstein coefficients is zero
// between 0 and 1: it is cut where it turns, and each part that changes sign is
// halved down to the root.
func cubicRoots(a, b, c, d float64) []float64 {
	if min(a, b, c, d) > 0 || max(a, b, c, d) < 0 {
		return nil
	}
	f := func(t float64) float64 {
		u := 1 - t
		return u*u*u*a + 3*u*u*t*b + 3*u*t*t*c + t*t*t*d
	}
	stops := append([]float64{0}, stationary(a, b, c, d)...)
	stops = append(stops, 1)
	slices.Sort(stops)
	var out []float64
	for i := 1; i < len(stops); i++ {
		lo, hi := stops[i-1], stops[i]
		flo, fhi := f(lo), f(hi)
		if flo == 0 {
			out = append(out, lo)
		}
		if flo*fhi >= 0 {
			continue
		}
		out = append(out, bisect(f, lo, hi))
	}
	if f(1) == 0 {
		out = append(out, 1)
	}
	return out
}
