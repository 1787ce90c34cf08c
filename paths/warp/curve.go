package warp

import (
	"math"

	"weftplot/paths"
)

// Still is a movement too small to redraw a curve for, mm.
const Still = 1e-9

// Curve returns the image of an arc or a cubic under a map that takes its ends to a and b
// and may bend anew every step mm, within tol mm. What is only moved stays the same curve,
// and an arc stays one where its image is as good as an arc.
func Curve(c paths.Curve, f func(paths.Point) paths.Point, a, b paths.Point, tol, step float64) paths.Stroke {
	if d, ok := shift(c, f); ok {
		return paths.Stroke{Translated(c, d, a, b)}
	}
	if arc, ok := c.(paths.Arc); ok {
		if fit, ok := refitArc(arc, f, a, b, tol); ok {
			return paths.Stroke{fit}
		}
	}
	return pinEnds(Fine(paths.Stroke{c}, f, tol, step), a, b)
}

// shift returns the one movement of all of c, if there is one.
func shift(c paths.Curve, f func(paths.Point) paths.Point) (paths.Point, bool) {
	const n = 16
	p := c.Start()
	d := f(p).Sub(p)
	for i := 1; i <= n; i++ {
		p := c.At(float64(i) / n)
		if f(p).Sub(p).Dist(d) > Still {
			return d, false
		}
	}
	return d, true
}

// Translated returns c moved by d, its ends exactly a and b.
func Translated(c paths.Curve, d, a, b paths.Point) paths.Curve {
	switch c := c.(type) {
	case paths.Arc:
		return paths.Arc{From: a, To: b, Centre: c.Centre.Add(d), Sweep: c.Sweep}
	case paths.Cubic:
		return paths.Cubic{A: a, B: c.B.Add(d), C: c.C.Add(d), D: b}
	}
	return paths.Line{A: a, B: b}
}

// refitArc returns the arc from a to b through the image of the middle, if it
// follows the image of the whole.
func refitArc(c paths.Arc, f func(paths.Point) paths.Point, a, b paths.Point, tol float64) (paths.Curve, bool) {
	chord := b.Sub(a)
	if chord.Len() == 0 || math.Abs(c.Sweep) > 1.5*math.Pi {
		return nil, false
	}
	mid := f(c.At(0.5)).Sub(a.Lerp(b, 0.5))
	// The bulge is the sagitta over half the chord, to the right of travel when
	// the arc is counter-clockwise.
	bulge := -mid.Dot(chord.Left()) / chord.Dot(chord) * 2
	arc, ok := paths.ArcBulge(a, b, bulge).(paths.Arc)
	if !ok {
		return nil, false
	}
	for t := 0.0625; t < 1; t += 0.0625 {
		p := f(c.At(t))
		if math.Abs(p.Dist(arc.Centre)-arc.Radius()) > tol/2 || p.Dist(arc.At(t)) > 10*tol+arc.Radius()/20 {
			return nil, false
		}
	}
	return arc, true
}

// pinEnds returns s with its ends exactly at a and b.
func pinEnds(s paths.Stroke, a, b paths.Point) paths.Stroke {
	if len(s) > 0 {
		n := len(s) - 1
		s[0] = paths.WithEnds(s[0], a, s[0].End())
		s[n] = paths.WithEnds(s[n], s[n].Start(), b)
	}
	return s
}
