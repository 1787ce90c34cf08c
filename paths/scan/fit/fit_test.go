package fit

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	_ "weftplot/paths/samecases"
)

// places draws a smooth chain of places about one apart.
func places(t *rapid.T) []paths.Point {
	turn := rapid.Float64Range(-0.12, 0.12)
	p, a, k := pt(0, 0), rapid.Float64Range(-3, 3).Draw(t, "way"), 0.0
	q := []paths.Point{p}
	for i := range rapid.IntRange(3, 120).Draw(t, "n") {
		if i%20 == 0 {
			k = turn.Draw(t, "bend")
		}
		a += k
		p = p.Add(pt(math.Cos(a), math.Sin(a)))
		q = append(q, p)
	}
	return q
}

// TestFitKeepsItsTolerance fits any smooth chain: the curves begin and end
// where it does, meet, and pass near every place.
func TestFitKeepsItsTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := places(t)
		tol := rapid.SampledFrom([]float64{0.05, 0.2}).Draw(t, "tol")
		s := Fitter{Q: q, Tol: tol, Kink: 5 * math.Pi / 180}.Fit()
		if err := s.Validate(); err != nil || s.Start() != q[0] || s.End() != q[len(q)-1] {
			t.Fatalf("%v: %v to %v", err, s.Start(), s.End())
		}
		if d := deviation.Of(paths.Polyline(q...), s, 0.02); d > 2*tol+0.05 {
			t.Fatalf("the chain is %v from its fit, over %v", d, tol)
		}
	})
}

// TestFitIsFrugal fits places along curves that are a single piece.
func TestFitIsFrugal(t *testing.T) {
	for name, c := range map[string]paths.Curve{
		"a line":  paths.Line{A: pt(0, 0), B: pt(70, 30)},
		"an arc":  paths.ArcAround(pt(0, 0), 20, 1, 4),
		"a cubic": paths.Cubic{A: pt(0, 0), B: pt(30, 60), C: pt(60, -50), D: pt(90, 10)},
	} {
		var q []paths.Point
		for i := range 81 {
			q = append(q, c.At(float64(i)/80))
		}
		s := Fitter{Q: q, Tol: 0.3, Kink: 5 * math.Pi / 180}.Fit()
		if len(s) != 1 {
			t.Errorf("%s is %d pieces", name, len(s))
			continue
		}
		if d := deviation.Of(paths.Stroke{c}, s, 0.01); d > 0.3 {
			t.Errorf("%s: the fit is %v off", name, d)
		}
	}
}

// TestCircleThroughPoints: three quarters of a circle's places give it back.
func TestCircleThroughPoints(t *testing.T) {
	var q []paths.Point
	for i := range 40 {
		q = append(q, paths.ArcAround(pt(12, -7), 5, 0.3, 4.5).At(float64(i)/39))
	}
	c, r, ok := Circle(q)
	if !ok || c.Dist(pt(12, -7)) > 1e-9 || math.Abs(r-5) > 1e-9 {
		t.Errorf("circle about %v with radius %v", c, r)
	}
}

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
