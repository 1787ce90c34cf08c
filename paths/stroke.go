package paths

import (
	"fmt"
	"math"
	"slices"
)

// Stroke is a chain of curves drawn without lifting the pen: each curve starts
// exactly where the one before it ends. A stroke of one zero-length line is a
// dot. The zero Stroke holds nothing.
type Stroke []Curve

// Polyline returns the stroke of straight lines through pts. A single point
// gives a dot, none an empty stroke. Repeated points are kept once.
func Polyline(pts ...Point) Stroke {
	if len(pts) == 0 {
		return nil
	}
	var s Stroke
	for i := 1; i < len(pts); i++ {
		if pts[i] != pts[i-1] {
			s = append(s, Line{pts[i-1], pts[i]})
		}
	}
	if s == nil {
		s = Stroke{Line{pts[0], pts[0]}}
	}
	return s
}

// Start returns the first point. It panics on an empty stroke.
func (s Stroke) Start() Point { return s[0].Start() }

// End returns the last point. It panics on an empty stroke.
func (s Stroke) End() Point { return s[len(s)-1].End() }

// IsClosed reports whether s ends exactly where it starts and is not a dot.
func (s Stroke) IsClosed() bool { return len(s) > 0 && s.Start() == s.End() && !s.IsDot() }

// IsDot reports whether s is a single point.
func (s Stroke) IsDot() bool {
	for _, c := range s {
		if l, ok := c.(Line); !ok || l.A != l.B {
			return false
		}
	}
	return len(s) > 0
}

// Length returns the length in mm.
func (s Stroke) Length() float64 {
	var sum float64
	for _, c := range s {
		sum += c.Length()
	}
	return sum
}

// Bounds returns the tight bounding box, empty for an empty stroke.
func (s Stroke) Bounds() Rect {
	r := EmptyRect()
	for _, c := range s {
		r = r.Union(c.Bounds())
	}
	return r
}

// Reverse returns s travelled the other way.
func (s Stroke) Reverse() Stroke {
	out := make(Stroke, len(s))
	for i, c := range s {
		out[len(s)-1-i] = c.Reverse()
	}
	return out
}

// Transform returns the image of s under m; see [Curve] for how close.
func (s Stroke) Transform(m Affine) Stroke {
	out := make(Stroke, 0, len(s))
	for _, c := range s {
		if l, ok := c.(Line); ok { // most are, and a list for each of one would be garbage
			out = append(out, Line{m.Apply(l.A), m.Apply(l.B)})
			continue
		}
		out = append(out, c.Transform(m)...)
	}
	return out
}

// Flatten returns the vertices of a polyline that is within tol mm of s, and s
// within tol of it. Two neighbouring vertices may coincide only in a dot.
func (s Stroke) Flatten(tol float64) []Point {
	if len(s) == 0 {
		return nil
	}
	n := 1
	for _, c := range s {
		n += flatCount(c, tol)
	}
	pts := append(make([]Point, 0, n), s.Start())
	for _, c := range s {
		pts = c.appendFlat(pts, tol)
	}
	if s.IsDot() {
		return pts
	}
	return slices.Compact(pts)
}

// flatCount returns about how many vertices a curve is flattened to, for making room: of
// a cubic, by how far its control points are from even steps along its chord, and halving
// takes up to twice as many as even parts would.
func flatCount(c Curve, tol float64) int {
	switch c := c.(type) {
	case Arc:
		return c.chords(tol)
	case Cubic:
		b, d := c.A.Add(c.C).Sub(c.B.Mul(2)), c.B.Add(c.D).Sub(c.C.Mul(2))
		even := math.Sqrt(0.75 * math.Sqrt(max(b.Dot(b), d.Dot(d))) / tol)
		return 1 + int(min(1.5*even, 1<<12))
	}
	return 1
}

// StartingAt returns the closed stroke s begun at parameter t of curve i
// instead, the same points in the same direction. It panics when s is not
// closed.
func (s Stroke) StartingAt(i int, t float64) Stroke {
	if !s.IsClosed() {
		panic("paths: StartingAt of an open stroke")
	}
	if t >= 1 {
		i, t = (i+1)%len(s), 0
	}
	out := make(Stroke, 0, len(s)+1)
	if t <= 0 {
		return append(append(out, s[i:]...), s[:i]...)
	}
	before, after := s[i].Split(t)
	out = append(out, after)
	out = append(append(out, s[i+1:]...), s[:i]...)
	return append(out, before)
}

// Validate returns an error naming the first curve that does not start where
// the one before it ends, or that holds a number that is not finite.
func (s Stroke) Validate() error {
	for i, c := range s {
		if !c.isFinite() {
			return fmt.Errorf("curve %d holds a number that is not finite: %v", i+1, c)
		}
		if i > 0 && s[i-1].End() != c.Start() {
			return fmt.Errorf("curve %d starts at %v, not where curve %d ends, %v", i+1, c.Start(), i, s[i-1].End())
		}
	}
	return nil
}

// BoundsOf returns the smallest rectangle that holds all of the strokes.
func BoundsOf(strokes []Stroke) Rect {
	r := EmptyRect()
	for _, s := range strokes {
		r = r.Union(s.Bounds())
	}
	return r
}

// LengthOf returns the summed length of the strokes in mm.
func LengthOf(strokes []Stroke) float64 {
	var sum float64
	for _, s := range strokes {
		sum += s.Length()
	}
	return sum
}
