package near

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// someCurve draws curves of every kind, among them retracted handles, cusps,
// hairpins, whole circles, shallow arcs and single points.
func someCurve(t *rapid.T) paths.Curve {
	coord := rapid.Custom(func(t *rapid.T) float64 {
		return rapid.OneOf(rapid.Float64Range(-50, 50), rapid.SampledFrom([]float64{0, 10, -10, 30})).Draw(t, "c")
	})
	p := func(name string) paths.Point { return pt(coord.Draw(t, name+"x"), coord.Draw(t, name+"y")) }
	a, b := p("a"), p("b")
	switch rapid.IntRange(0, 7).Draw(t, "kind") {
	case 0:
		return paths.Line{A: a, B: b}
	case 1:
		return paths.Circle(a, rapid.Float64Range(0, 40).Draw(t, "r"))
	case 2:
		return paths.ArcAround(a, rapid.Float64Range(0.01, 40).Draw(t, "r"), coord.Draw(t, "from"), rapid.Float64Range(-6.3, 6.3).Draw(t, "sweep"))
	case 3:
		return paths.ArcBulge(a, b, math.Copysign(math.Pow(10, rapid.Float64Range(-7, 1).Draw(t, "bulge")), coord.Draw(t, "side")))
	case 4: // a cusp, or turning back on itself
		return paths.Cubic{A: a, B: b, C: a, D: b}
	case 5:
		return paths.Cubic{A: a, B: a, C: p("c"), D: b}
	}
	return paths.Cubic{A: a, B: p("c"), C: p("d"), D: b}
}

// On against dense sampling, narrowed down around each sample that is nearer
// than its neighbours: no sampled point may be nearer than what On finds, to
// within 1e-9 of the distance or of the curve's size.
func TestOnAgainstSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := someCurve(t)
		p := pt(rapid.Float64Range(-80, 80).Draw(t, "px"), rapid.Float64Range(-80, 80).Draw(t, "py"))
		switch rapid.IntRange(0, 4).Draw(t, "where") {
		case 0: // on the curve
			p = c.At(rapid.Float64Range(0, 1).Draw(t, "on"))
		case 1: // beside it
			u := rapid.Float64Range(0, 1).Draw(t, "on")
			p = c.At(u).Add(c.Tangent(u).Left().Mul(rapid.SampledFrom([]float64{1e-6, -1e-3, 0.5, -20}).Draw(t, "by")))
		case 2:
			if a, ok := c.(paths.Arc); ok {
				p = a.Centre
			}
		}
		u, d := On(c, p)
		if !(u >= 0 && u <= 1) || d != c.At(u).Dist(p) {
			t.Fatalf("On(%v, %v) = %g, %g; the point there is %g away", c, p, u, d, c.At(u).Dist(p))
		}
		least := sampled(c, p)
		b := c.Bounds()
		size := max(b.Width(), b.Height())
		rounding := 1e-14 * max(1e-100, math.Abs(b.Min.X), math.Abs(b.Max.X), math.Abs(b.Min.Y), math.Abs(b.Max.Y)) // of the points themselves; squares below 1e-300 vanish
		if d > least+1e-9*max(least, size)+rounding {
			t.Fatalf("On(%v, %v): %.15g at %g; sampled %.15g", c, p, d, u, least)
		}
	})
}

// sampled returns the least distance found by many samples, narrowed down
// around each that is less than its neighbours.
func sampled(c paths.Curve, p paths.Point) float64 {
	const n = 4000
	d := make([]float64, n+1)
	for i := range d {
		d[i] = c.At(float64(i) / n).Dist(p)
	}
	least := min(d[0], d[n])
	for i := 1; i < n; i++ {
		if d[i] > d[i-1] || d[i] > d[i+1] {
			continue
		}
		lo, hi := float64(i-1)/n, float64(i+1)/n
		for range 80 {
			a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
			if c.At(a).Dist(p) < c.At(b).Dist(p) {
				hi = b
			} else {
				lo = a
			}
		}
		least = min(least, d[i], c.At((lo+hi)/2).Dist(p))
	}
	return least
}

// Places known without any search.
func TestOnKnown(t *testing.T) {
	quarter := paths.ArcAround(pt(0, 0), 5, 0, math.Pi/2)
	// The cubic's own points, at rational parameters.
	s := paths.Cubic{A: pt(0, 0), B: pt(0, 8), C: pt(8, -8), D: pt(8, 0)}
	// An arc of 100 km radius, whose centre is known to 1e-8 mm only: its sagitta
	// is 10²/(2·10⁸) mm.
	shallow := paths.ArcBulge(pt(-10, 0), pt(10, 0), 5e-8)
	for _, tt := range []struct {
		name string
		c    paths.Curve
		p    paths.Point
		t, d float64
	}{
		{"beside a line", paths.Line{A: pt(0, 0), B: pt(10, 0)}, pt(4, 3), 0.4, 3},
		{"beyond a line", paths.Line{A: pt(0, 0), B: pt(10, 0)}, pt(13, 4), 1, 5},
		{"a dot", paths.Line{A: pt(1, 1), B: pt(1, 1)}, pt(4, 5), 0, 5},
		{"outside an arc", quarter, pt(6, 8), math.Atan2(8, 6) / (math.Pi / 2), 5},
		{"inside an arc", quarter, pt(0.3, 0.4), math.Atan2(4, 3) / (math.Pi / 2), 4.5},
		{"behind an arc", quarter, pt(1, -5), 0, math.Hypot(4, 5)},
		{"its centre", quarter, pt(0, 0), 0, 5},
		{"clockwise", quarter.Reverse(), pt(6, 8), 1 - math.Atan2(8, 6)/(math.Pi/2), 5},
		{"on a shallow arc", shallow, pt(0, -1), 0.5, 1 - 5e-7},
		{"shallow, aside", shallow, pt(-5, 1), 0.25, 1 + 0.75*5e-7},
		{"on a cubic", s, s.At(0.25), 0.25, 0},
		{"middle of a cubic", s, pt(4, 0), 0.5, 0},
		{"beyond a cubic", s, pt(20, 3), 1, math.Hypot(12, 3)},
		{"a point", paths.Cubic{A: pt(1, 2), B: pt(1, 2), C: pt(1, 2), D: pt(1, 2)}, pt(4, 6), 0, 5},
	} {
		if u, d := On(tt.c, tt.p); math.Abs(u-tt.t) > 1e-8 || math.Abs(d-tt.d) > 1e-9 {
			t.Errorf("%s: On(%v, %v) = %.12g, %.12g, want %.12g, %.12g", tt.name, tt.c, tt.p, u, d, tt.t, tt.d)
		}
	}
}

// A hairpin much tighter than any fixed number of samples resolves.
func TestOnHairpin(t *testing.T) {
	for _, width := range []float64{1, 1e-3, 1e-6} {
		c := paths.Cubic{A: pt(0, 0), B: pt(400, width), C: pt(400, -width), D: pt(0, 0)}
		tip := c.At(0.5)
		u, d := On(c, tip.Add(pt(1, 0)))
		if math.Abs(u-0.5) > 1e-6 || math.Abs(d-1) > 1e-9 {
			t.Errorf("width %g: %g at %g", width, d, u)
		}
	}
}

func TestOnStroke(t *testing.T) {
	s := paths.Polyline(pt(0, 0), pt(10, 0), pt(10, 10))
	if i, u, d := OnStroke(s, pt(13, 5)); i != 1 || u != 0.5 || d != 3 {
		t.Errorf("curve %d at %g, %g away; want 1, 0.5, 3", i, u, d)
	}
	if _, _, d := OnStroke(nil, pt(1, 1)); !math.IsInf(d, 1) {
		t.Errorf("an empty stroke is %g away", d)
	}
}

func BenchmarkOnCubic(b *testing.B) {
	c := paths.Cubic{A: pt(0, 0), B: pt(10, 40), C: pt(50, -30), D: pt(60, 10)}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		On(c, pt(float64(i%60), float64(i%37)))
	}
}
