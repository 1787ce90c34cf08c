package deviation

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// drawStroke draws a stroke of lines, arcs, loops and cubics with retracted handles.
func drawStroke(t *rapid.T) paths.Stroke {
	coord := rapid.Float64Range(-500, 500)
	point := func(name string) paths.Point { return pt(coord.Draw(t, name+".x"), coord.Draw(t, name+".y")) }
	at := point("start")
	var s paths.Stroke
	for range rapid.IntRange(1, 5).Draw(t, "curves") {
		var c paths.Curve
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0:
			c = paths.Line{A: at, B: point("b")}
		case 1:
			c = paths.ArcBulge(at, point("b"), rapid.Float64Range(-8, 8).Draw(t, "bulge"))
		case 2:
			c = paths.Circle(at, rapid.Float64Range(0.01, 300).Draw(t, "radius"))
			at = c.Start()
			if len(s) > 0 {
				s = append(s, paths.Line{A: s.End(), B: at})
			}
		case 3:
			c = paths.Cubic{A: at, B: at, C: point("c"), D: point("d")}
		case 4:
			c = paths.Cubic{A: at, B: point("b"), C: point("c"), D: at}
		default:
			c = paths.Cubic{A: at, B: point("b"), C: point("c"), D: point("d")}
		}
		s, at = append(s, c), c.End()
	}
	return s
}

// distToPolyline returns the distance from p to the polyline through pts.
func distToPolyline(p paths.Point, pts []paths.Point) float64 {
	best := p.Dist(pts[0])
	for i := 1; i < len(pts); i++ {
		best = min(best, paths.Line{A: pts[i-1], B: pts[i]}.Dist(p))
	}
	return best
}

func TestDeviation(t *testing.T) {
	a := paths.Polyline(pt(0, 0), pt(100, 0))
	b := paths.Polyline(pt(0, 3), pt(50, 3))
	if got, want := Of(b, a, 0.01), 3.0; math.Abs(got-want) > 0.01 {
		t.Errorf("Of(b, a) = %g, want %g", got, want)
	}
	if got, want := Of(a, b, 0.01), math.Hypot(50, 3); math.Abs(got-want) > 0.01 {
		t.Errorf("Of(a, b) = %g, want %g", got, want)
	}
	if got := Of(a, nil, 0.01); !math.IsInf(got, 1) {
		t.Errorf("Of from nothing = %g", got)
	}
	if got, want := Apart(b, a, 0.01), math.Hypot(50, 3); math.Abs(got-want) > 0.01 {
		t.Errorf("Apart(b, a) = %g, want %g", got, want)
	}
	if !math.IsInf(Apart(nil, a, 0.01), 1) || Apart(nil, nil, 0.01) != 0 || AreWithin(a, nil, 1e9, 0.01) || !AreWithin(nil, nil, 0, 0.01) {
		t.Error("nothing is infinitely far from something, and not apart from nothing")
	}
}

func TestDeviationAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawStroke(t), drawStroke(t)
		if rapid.Bool().Draw(t, "alike") {
			pts := a.Flatten(0.05)
			for i, p := range pts {
				pts[i].X += math.Sin(p.Y / 9)
			}
			b = paths.Polyline(pts...)
		}
		const res = 0.5
		got := Of(a, b, res)
		far := max(got, Of(b, a, res))
		if d := Apart(a, b, res); d != far {
			t.Fatalf("Apart = %g, and the deviations are %g at most", d, far)
		}
		for _, tol := range []float64{far / 2, far - 1.1*res, far + 1e-9, far + 1.1*res, 2*far + 1.1*res} {
			if in := AreWithin(a, b, tol, res); tol >= 0 && in != (tol >= far) && math.Abs(tol-far) > res {
				t.Fatalf("AreWithin %g is %v, and they are %g apart", tol, in, far)
			}
		}
		flat := b.Flatten(0.01)
		want := 0.0
		for _, c := range a {
			for i := range 60 {
				want = max(want, distToPolyline(c.At(float64(i)/59), flat))
			}
		}
		// The brute force looks only at samples, so it may miss a little.
		if got < want-res {
			t.Fatalf("Of = %g, but a point lies %g away", got, want)
		}
		if got > want+res+a.Length()/59/2 {
			t.Fatalf("Of = %g, the farthest sample lies %g away", got, want)
		}
	})
}
