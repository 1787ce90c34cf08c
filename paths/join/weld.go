package join

import (
	"math"

	"weftplot/paths"
)

// weld returns c with its ends moved a little, to a and b exactly. All of it
// stays within the greater of the two moves of where it was, or nearly so, and
// an arc stays an arc where that holds.
func weld(c paths.Curve, a, b paths.Point) paths.Stroke {
	if c.Start() == a && c.End() == b {
		return paths.Stroke{c}
	}
	switch c := c.(type) {
	case paths.Line:
		return paths.Stroke{paths.Line{A: a, B: b}}
	case paths.Arc:
		if c.From.Dist(a) <= 1e-9 && c.To.Dist(b) <= 1e-9 {
			c.From, c.To = a, b // rounding, not a move
			return paths.Stroke{c}
		}
		return weldArc(c, a, b)
	case paths.Cubic:
		return paths.Stroke{weldCubic(c, a, b)}
	}
	panic("join: unknown kind of curve")
}

// weldCubic moves each end together with its handle.
func weldCubic(c paths.Cubic, a, b paths.Point) paths.Cubic {
	return paths.Cubic{A: a, B: c.B.Add(a.Sub(c.A)), C: c.C.Add(b.Sub(c.D)), D: b}
}

func weldArc(c paths.Arc, a, b paths.Point) paths.Stroke {
	move := max(c.From.Dist(a), c.To.Dist(b))
	arc, ok := arcThrough(c, a, b)
	if ok && strays(arc, c, 1.5*move+1e-9) {
		ok = false
	}
	if ok {
		return paths.Stroke{arc}
	}
	chain := paths.Stroke(c.Cubics())
	first := chain[0].(paths.Cubic)
	chain[0] = weldCubic(first, a, first.D)
	last := chain[len(chain)-1].(paths.Cubic)
	chain[len(chain)-1] = weldCubic(last, last.A, b)
	return chain
}

// arcThrough returns the arc from a to b through the middle of c, or the circle
// about the centre of c when a and b are one point.
func arcThrough(c paths.Arc, a, b paths.Point) (paths.Arc, bool) {
	if a == b {
		return paths.Arc{From: a, To: a, Centre: c.Centre, Sweep: math.Copysign(2*math.Pi, c.Sweep)},
			math.Abs(c.Sweep) > math.Pi
	}
	m := c.At(0.5)
	// Angles at a chord: the arc turns by twice the sum of the angles at a and b
	// of the triangle with the middle.
	half := turn(a, m, b)
	if half == 0 {
		return paths.Arc{}, false
	}
	arc, ok := paths.ArcBulge(a, b, math.Tan(half/2)).(paths.Arc)
	return arc, ok && arc.Sweep*c.Sweep > 0
}

// turn returns the angle by which the way from a over m to b turns at m, half
// the sweep of the arc through the three.
func turn(a, m, b paths.Point) float64 {
	u, v := m.Sub(a), b.Sub(m)
	return math.Atan2(u.Cross(v), u.Dot(v))
}

// strays reports whether b is anywhere farther than limit from where a is at
// the same fraction of its way.
func strays(a, b paths.Arc, limit float64) bool {
	for k := range 9 {
		t := float64(k) / 8
		if a.At(t).Dist(b.At(t)) > limit {
			return true
		}
	}
	return false
}
