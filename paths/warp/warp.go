// Package warp bends strokes by a smooth map of the plane: cloth that is stretched,
// words on an arc, rational curves as the image of their parameter.
//
// Everything here is a pure function. The time grows with the curves and with the
// pieces that their images take.
package warp

import "weftplot/paths"

// Stroke returns the image of s under the smooth map f, within tol mm of the true
// image, both ways. Pieces whose image is straight to within a tenth of tol
// come out as lines, the rest as cubics. Ends that coincide stay coinciding
// exactly, because f gets the same argument for both.
func Stroke(s paths.Stroke, f func(paths.Point) paths.Point, tol float64) paths.Stroke {
	out := make(paths.Stroke, 0, len(s))
	for _, c := range s {
		w := warper{c, f, tol}
		out = w.piece(out, 0, 1, f(c.Start()), f(c.End()), 16)
	}
	return out
}

// warper makes the image of one curve.
type warper struct {
	c   paths.Curve
	f   func(paths.Point) paths.Point
	tol float64
}

// piece appends the image of the part between t0 and t1, whose ends go to a and
// d, halving it until one line or one cubic serves.
func (w warper) piece(out paths.Stroke, t0, t1 float64, a, d paths.Point, depth int) paths.Stroke {
	if w.c.Start() == w.c.End() && w.c.Length() == 0 {
		return append(out, paths.Line{A: a, B: a})
	}
	if _, isLine := w.c.(paths.Line); depth == 0 || isLine && straight(w.c, w.f, a, d, t0, t1, w.tol/10) {
		return append(out, paths.Line{A: a, B: d})
	}
	if cubic := hermite(w.c, w.f, a, d, t0, t1); follows(cubic, w.c, w.f, t0, t1, w.tol/2) {
		return append(out, cubic)
	}
	t := (t0 + t1) / 2
	m := w.f(w.c.At(t))
	out = w.piece(out, t0, t, a, m, depth-1)
	return w.piece(out, t, t1, m, d, depth-1)
}

// probes are where a piece is compared with its image: odd places, so that a
// symmetric error cannot hide at a zero, and the middle first, where a misfit
// is soonest seen.
var probes = [...]float64{0.5, 0.34, 0.63, 0.21, 0.77, 0.09, 0.92}

func straight(c paths.Curve, f func(paths.Point) paths.Point, a, d paths.Point, t0, t1, tol float64) bool {
	for _, u := range probes {
		if (paths.Line{A: a, B: d}).Dist(f(c.At(t0+(t1-t0)*u))) > tol {
			return false
		}
	}
	return true
}

// hermite returns the cubic that leaves and arrives with the velocity of the
// image, taken by one-sided differences of second order.
func hermite(c paths.Curve, f func(paths.Point) paths.Point, a, d paths.Point, t0, t1 float64) paths.Cubic {
	const h = 1e-4
	at := func(u float64) paths.Point { return f(c.At(t0 + (t1-t0)*u)) }
	va := at(h).Mul(4).Sub(at(2 * h)).Sub(a.Mul(3)).Mul(1 / (2 * h))
	vd := d.Mul(3).Sub(at(1 - h).Mul(4)).Add(at(1 - 2*h)).Mul(1 / (2 * h))
	return paths.Cubic{A: a, B: a.Add(va.Mul(1. / 3)), C: d.Sub(vd.Mul(1. / 3)), D: d}
}

func follows(cubic paths.Cubic, c paths.Curve, f func(paths.Point) paths.Point, t0, t1, tol float64) bool {
	for _, u := range probes {
		if cubic.At(u).Dist(f(c.At(t0+(t1-t0)*u))) > tol {
			return false
		}
	}
	return true
}
