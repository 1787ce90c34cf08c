package deviation

import (
	"math"

	"weftplot/paths"
)

// alongside reports whether two strokes are within tol mm of each other because each curve
// of one is within tol mm of its counterpart in the other. It knows lines, and arcs that
// turn the same way. A false answer means only that it cannot tell.
func alongside(a, b paths.Stroke, tol float64) bool {
	a, b = rejoined(a), rejoined(b)
	if len(a) != len(b) {
		return false
	}
	for i, c := range a {
		switch c := c.(type) {
		case paths.Line:
			d, ok := b[i].(paths.Line)
			if !ok || c.A.Dist(d.A) > tol || c.B.Dist(d.B) > tol {
				return false
			}
		case paths.Arc:
			d, ok := b[i].(paths.Arc)
			if !ok || strays(c, d) > tol {
				return false
			}
		default:
			return false
		}
	}
	return true
}

// rejoined returns a stroke of two arcs as one arc, where they are the parts of one: a
// circle that begins at another place is cut in two.
func rejoined(s paths.Stroke) paths.Stroke {
	if len(s) != 2 {
		return s
	}
	a, ok := s[0].(paths.Arc)
	b, too := s[1].(paths.Arc)
	sweep := a.Sweep + b.Sweep
	if !ok || !too || a.Centre != b.Centre || a.To != b.From || a.Sweep*b.Sweep < 0 || math.Abs(sweep) > 2*math.Pi+1e-9 ||
		math.Abs(a.Radius()-b.Radius()) > 1e-9*a.Radius() {
		return s
	}
	return paths.Stroke{paths.Arc{From: a.From, To: b.To, Centre: a.Centre, Sweep: math.Copysign(min(math.Abs(sweep), 2*math.Pi), sweep)}}
}

// strays returns an upper bound of how far two arcs stray from each other. It is close for
// arcs with centres close together, and too large for others.
//
// Two whole circles are as far apart as their centres are and as their radii differ,
// wherever each begins. Of other arcs it bounds the distance between points at the same
// parameter.
//
// As the parameter goes from 0 to 1 both radii turn steadily, so the angle between them is
// greatest at an end, and a point moves by no more than its centre does, its radius and
// the longer of both radii times that angle. An arc with ends at different distances from
// its centre strays from the steadily turned one by no more than uneven.
func strays(a, b paths.Arc) float64 {
	r, s := a.Radius(), b.Radius()
	if isCircle(a) && isCircle(b) && a.Sweep*b.Sweep > 0 {
		return a.Centre.Dist(b.Centre) + math.Abs(r-s) + uneven(a) + uneven(b)
	}
	turned := math.Abs(angleBetween(a.From.Sub(a.Centre), b.From.Sub(b.Centre)))
	turned += math.Abs(a.Sweep - b.Sweep)
	return a.Centre.Dist(b.Centre) + math.Abs(r-s) + max(r, s)*turned + uneven(a) + uneven(b)
}

// isCircle reports whether an arc is one whole turn.
func isCircle(a paths.Arc) bool { return math.Abs(math.Abs(a.Sweep)-2*math.Pi) <= 1e-9 }

// uneven returns how far the end of the arc is from its start turned by the sweep.
func uneven(a paths.Arc) float64 {
	sin, cos := math.Sincos(a.Sweep)
	v := a.From.Sub(a.Centre)
	return a.To.Dist(a.Centre.Add(paths.Point{X: v.X*cos - v.Y*sin, Y: v.X*sin + v.Y*cos}))
}

// angleBetween returns the angle from p to q, in (-π, π].
func angleBetween(p, q paths.Point) float64 { return math.Atan2(p.Cross(q), p.Dot(q)) }
