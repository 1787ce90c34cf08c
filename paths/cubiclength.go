package paths

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
)

// Length is found by Gauss-Legendre quadrature of the speed. Where the curve
// nearly stops, at a cusp or a turn back on itself, the speed has a kink that
// quadrature does not see; so the curve is first cut where its speed is least
// or greatest, and each part halved until whole and halves agree.
func (c Cubic) Length() float64 {
	tol := 1e-11 * (c.A.Dist(c.B) + c.B.Dist(c.C) + c.C.Dist(c.D))
	var sum, t0 float64
	for _, t1 := range append(c.speedTurns(), 1) {
		part := Sub(c, t0, t1).(Cubic)
		sum += part.lengthWithin(part.gauss(), tol, 50)
		t0 = t1
	}
	return sum
}

// legendreX and legendreW are the nodes and weights of the quadrature on [0, 1].
var legendreX, legendreW = func() (x, w []float64) {
	x, w = make([]float64, 16), make([]float64, 16)
	quad.Legendre{}.FixedLocations(x, w, 0, 1)
	return x, w
}()

// gauss estimates the length.
func (c Cubic) gauss() float64 {
	var sum float64
	for i, t := range legendreX {
		sum += legendreW[i] * c.derivative(t).Len()
	}
	return sum
}

func (c Cubic) lengthWithin(whole, tol float64, depth int) float64 {
	a, b := c.halves(0.5)
	la, lb := a.gauss(), b.gauss()
	// Far from the origin the points themselves are no more precise than this.
	grain := 1e-14 * (c.A.Len() + c.D.Len())
	if depth == 0 || math.Abs(la+lb-whole) <= max(tol, grain) {
		return la + lb
	}
	return a.lengthWithin(la, tol/2, depth-1) + b.lengthWithin(lb, tol/2, depth-1)
}

// speedTurns returns the parameters inside (0, 1), in order, where the square
// of the speed has an extremum: the roots of velocity·acceleration, a cubic
// polynomial, found by halving between the extrema of that.
func (c Cubic) speedTurns() []float64 {
	// The velocity is 3(p·t² + q·t + r), the acceleration 3(2p·t + q).
	p := c.D.Sub(c.C.Mul(3)).Add(c.B.Mul(3)).Sub(c.A)
	q := c.C.Sub(c.B.Mul(2)).Add(c.A).Mul(2)
	r := c.B.Sub(c.A)
	k3, k2, k1, k0 := 2*p.Dot(p), 3*p.Dot(q), q.Dot(q)+2*p.Dot(r), q.Dot(r)
	f := func(t float64) float64 { return ((k3*t+k2)*t+k1)*t + k0 }
	marks := quadraticRoots(3*k3, 2*k2, k1)
	slices.Sort(marks)
	var out []float64
	lo := 0.0
	for _, hi := range append(marks, 1) {
		if f(lo)*f(hi) < 0 {
			if t := bisect(f, lo, hi); t > 0 && t < 1 {
				out = append(out, t)
			}
		}
		lo = hi
	}
	return out
}

// bisect returns where f changes its sign between lo and hi.
func bisect(f func(float64) float64, lo, hi float64) float64 {
	rising := f(lo) < 0
	for range 60 {
		m := (lo + hi) / 2
		if (f(m) < 0) == rising {
			lo = m
		} else {
			hi = m
		}
	}
	return (lo + hi) / 2
}

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
