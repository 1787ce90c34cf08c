package dxf

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/warp"
)

// nurbs is a spline in the plane by its control points: non-uniform, and
// rational where it has weights (L. Piegl and W. Tiller, "The NURBS Book", 2nd
// ed., Springer 1997, chapters 2 to 4).
type nurbs struct {
	degree  int
	knots   []float64 // one for each control point, plus degree, plus one; ascending
	control []paths.Point
	weights []float64 // nil when all are one
}

// heavy is a point times its weight, with the weight.
type heavy struct{ x, y, w float64 }

func (p heavy) point() paths.Point { return paths.Point{X: p.x / p.w, Y: p.y / p.w} }

func (p heavy) lerp(q heavy, t float64) heavy {
	u := 1 - t
	return heavy{u*p.x + t*q.x, u*p.y + t*q.y, u*p.w + t*q.w}
}

func (n nurbs) heavy(i int) heavy {
	p := n.control[i]
	if n.weights == nil {
		return heavy{p.X, p.Y, 1}
	}
	w := n.weights[i]
	return heavy{p.X * w, p.Y * w, w}
}

// blossom evaluates the polar form of the piece on the knots k and k+1: de
// Boor's scheme with a different argument in each round (L. Ramshaw, "Blossoms
// are polar forms", CAGD 6 (1989) 323-358). With all arguments the same it is
// the point at that parameter.
func (n nurbs) blossom(k int, args []float64, d []heavy) heavy {
	p := n.degree
	for j := range d {
		d[j] = n.heavy(k - p + j)
	}
	for r := 1; r <= p; r++ {
		for j := p; j >= r; j-- {
			lo, hi := n.knots[k-p+j], n.knots[k+j-r+1]
			d[j] = d[j-1].lerp(d[j], (args[r-1]-lo)/(hi-lo))
		}
	}
	return d[p]
}

// bezier returns the control points of the piece on the knots k and k+1 as a
// Bézier curve.
func (n nurbs) bezier(k int) []heavy {
	a, b := n.knots[k], n.knots[k+1]
	out := make([]heavy, n.degree+1)
	args := make([]float64, n.degree)
	d := make([]heavy, n.degree+1)
	for i := range args {
		args[i] = a
	}
	for j := range out {
		if j > 0 {
			args[j-1] = b
		}
		out[j] = n.blossom(k, args, d)
	}
	return out
}

// curves returns the spline as a chain of lines, arcs and cubics, exactly for
// degrees up to three without weights and for arcs of circles by weights, else
// within tol. Where the spline is torn, at a knot that occurs degree+1 times,
// the chain is torn too.
func (n nurbs) curves(tol float64) []paths.Curve {
	var out []paths.Curve
	box := paths.RectOf(n.control...)
	joint := 1e-12 * math.Hypot(box.Width(), box.Height())
	for k := n.degree; k < len(n.control); k++ {
		if n.knots[k] == n.knots[k+1] {
			continue
		}
		b := n.bezier(k)
		if len(out) > 0 {
			// Neighbours meet but for rounding; the chain must meet exactly.
			if end := out[len(out)-1].End(); end.Dist(b[0].point()) <= joint {
				b[0] = heavy{end.X * b[0].w, end.Y * b[0].w, b[0].w}
				out = append(out, chained(b, end, tol)...)
				continue
			}
		}
		out = append(out, chained(b, b[0].point(), tol)...)
	}
	return out
}

// chained returns a Bézier curve that starts at from as lines, arcs and cubics.
func chained(b []heavy, from paths.Point, tol float64) []paths.Curve {
	p := make([]paths.Point, len(b))
	rational := false
	for i, h := range b {
		p[i] = h.point()
		rational = rational || math.Abs(h.w-b[0].w) > 1e-12*b[0].w
	}
	p[0] = from
	switch {
	case len(p) == 2: // weights only change the speed along it
		return []paths.Curve{paths.Line{A: p[0], B: p[1]}}
	case len(p) == 3 && !rational:
		return []paths.Curve{paths.Quadratic(p[0], p[1], p[2])}
	case len(p) == 4 && !rational:
		return []paths.Curve{paths.Cubic{A: p[0], B: p[1], C: p[2], D: p[3]}}
	case len(p) == 3:
		if arc, ok := circular(b, p); ok {
			return []paths.Curve{arc}
		}
	}
	work := make([]heavy, len(b))
	at := func(q paths.Point) paths.Point {
		switch q.X {
		case 0:
			return p[0]
		case 1:
			return p[len(p)-1]
		}
		copy(work, b)
		for m := len(work) - 1; m > 0; m-- {
			for i := range m {
				work[i] = work[i].lerp(work[i+1], q.X)
			}
		}
		return work[0].point()
	}
	// The parameter as a cubic, not as a line: a curve that looks straight at a
	// few places may overshoot its end and come back.
	ruler := paths.Cubic{B: paths.Point{X: 1. / 3}, C: paths.Point{X: 2. / 3}, D: paths.Point{X: 1}}
	return warp.Stroke(paths.Stroke{ruler}, at, tol)
}

// circular returns the arc that a rational curve of degree two is, if it is one:
// its legs are of one length, and the weight of the middle over the mean of the
// others is the cosine of the angle between leg and chord (The NURBS Book,
// section 7.3).
func circular(b []heavy, p []paths.Point) (paths.Curve, bool) {
	chord, leg, other := p[2].Sub(p[0]), p[1].Sub(p[0]), p[2].Sub(p[1])
	l := leg.Len()
	if l == 0 || chord.Len() < 1e-9*l || math.Abs(l-other.Len()) > 1e-9*l {
		return nil, false
	}
	half := math.Atan2(chord.Cross(leg), chord.Dot(leg)) // half the sweep, to the right
	if w := b[1].w / math.Sqrt(b[0].w*b[2].w); math.Abs(w-math.Cos(half)) > 1e-9 {
		return nil, false
	}
	return paths.ArcBulge(p[0], p[2], -math.Tan(half/2)), true
}
