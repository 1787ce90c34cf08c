package paths

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestWithinExact: where simple curves cross a square, worked out by hand.
func TestWithinExact(t *testing.T) {
	square := RectOf(Point{0, 0}, Point{10, 10})
	for name, c := range map[string]struct {
		curve      Curve
		in, beyond []Span
	}{
		"inside":           {Line{Point{1, 1}, Point{9, 9}}, []Span{{0, 1}}, nil},
		"through":          {Line{Point{-10, 5}, Point{30, 5}}, []Span{{0.25, 0.5}}, []Span{{0, 0.25}, {0.5, 1}}},
		"past the corner":  {Line{Point{-1, 1}, Point{1, -1}}, nil, []Span{{0, 1}}},
		"along the edge":   {Line{Point{-10, 0}, Point{10, 0}}, []Span{{0.5, 1}}, []Span{{0, 0.5}}},
		"dot":              {Line{Point{3, 3}, Point{3, 3}}, []Span{{0, 1}}, nil},
		"dot outside":      {Line{Point{30, 3}, Point{30, 3}}, nil, []Span{{0, 1}}},
		"circle on a side": {Circle(Point{0, 5}, 2), []Span{{0, 0.25}, {0.75, 1}}, []Span{{0.25, 0.75}}},
		// Evenly spaced control points: as the line "through".
		"cubic": {Cubic{Point{-10, 5}, Point{-10 + 40./3, 5}, Point{-10 + 80./3, 5}, Point{30, 5}}, []Span{{0.25, 0.5}}, []Span{{0, 0.25}, {0.5, 1}}},
	} {
		for _, side := range []struct {
			what      string
			got, want []Span
		}{{"within", Within(c.curve, square), c.in}, {"beyond", Beyond(c.curve, square), c.beyond}} {
			same := len(side.got) == len(side.want)
			for i := range min(len(side.got), len(side.want)) {
				g, w := side.got[i], side.want[i]
				same = same && math.Abs(g.From-w.From) < 1e-9 && math.Abs(g.To-w.To) < 1e-9
			}
			if !same {
				t.Errorf("%s: %s = %v, want %v", name, side.what, side.got, side.want)
			}
		}
	}
}

// TestWithinAgainstPoints compares with testing many points along a curve,
// except those next to a side.
func TestWithinAgainstPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		r := RectOf(drawPoint(t, "p"), drawPoint(t, "q"))
		in, beyond := Within(c, r), Beyond(c, r)
		holds := func(spans []Span, at float64) bool {
			for _, s := range spans {
				if s.From <= at && at <= s.To {
					return true
				}
			}
			return false
		}
		for i := range bruteSteps {
			at := (float64(i) + 0.5) / bruteSteps
			p := c.At(at)
			near := min(math.Abs(p.X-r.Min.X), math.Abs(p.X-r.Max.X), math.Abs(p.Y-r.Min.Y), math.Abs(p.Y-r.Max.Y))
			if near < 1e-6 {
				continue
			}
			if want := r.Contains(p); holds(in, at) != want || holds(beyond, at) == want {
				t.Fatalf("%v at %v is %v: inside %v, in %v, beyond %v", c, at, p, want, in, beyond)
			}
		}
	})
}
