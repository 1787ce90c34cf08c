package letters

import (
	"math"
	"slices"

	"weftplot/paths"
)

// cutAt returns the parts of c between parameters ts, none shorter than near.
func cutAt(c paths.Curve, ts []float64, near float64) []paths.Curve {
	slices.Sort(ts)
	length := c.Length()
	if length <= near {
		return []paths.Curve{c} // a dot, or nearly one
	}
	out := []paths.Curve{}
	from := 0.
	for _, t := range ts {
		if (t-from)*length > 2*near && (1-t)*length > 2*near {
			out = append(out, paths.Sub(c, from, t))
			from = t
		}
	}
	return append(out, paths.Sub(c, from, 1))
}

// mended returns s with curves that continue one another rejoined: lines in one
// direction, arcs of one circle.
func mended(s paths.Stroke) paths.Stroke {
	out := paths.Stroke{}
	for _, c := range s {
		if n := len(out); n > 0 {
			if one, ok := continued(out[n-1], c); ok {
				out[n-1] = one
				continue
			}
		}
		out = append(out, c)
	}
	if n := len(out); n > 1 && s.IsClosed() {
		if one, ok := continued(out[n-1], out[0]); ok {
			out = append(paths.Stroke{one}, out[1:n-1]...)
		}
	}
	return out
}

func continued(a, b paths.Curve) (paths.Curve, bool) {
	const same = 1e-7 // mm, and radians
	switch a := a.(type) {
	case paths.Line:
		b, ok := b.(paths.Line)
		if ok && math.Abs(a.Tangent(0).Cross(b.Tangent(0))) < same && a.Tangent(0).Dot(b.Tangent(0)) > 0 {
			return paths.Line{A: a.A, B: b.B}, true
		}
	case paths.Arc:
		b, ok := b.(paths.Arc)
		sweep := a.Sweep + b.Sweep
		if ok && a.Sweep*b.Sweep > 0 && a.Centre.Dist(b.Centre) < same && math.Abs(sweep) < 2*math.Pi-same {
			return paths.Arc{From: a.From, To: b.To, Centre: a.Centre, Sweep: sweep}, true
		}
	}
	return nil, false
}
