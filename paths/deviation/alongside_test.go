package deviation

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// TestAlongside: strokes that lie alongside one another are nowhere farther apart than
// said, at no parameter, whatever their arcs' figures; and a circle that was written in
// hundredths of a millimetre lies alongside itself.
func TestAlongside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		near := func(p paths.Point, by float64) paths.Point {
			return p.Add(pt(rapid.Float64Range(-by, by).Draw(t, "x"), rapid.Float64Range(-by, by).Draw(t, "y")))
		}
		r, by := rapid.Float64Range(0.01, 50).Draw(t, "radius"), rapid.Float64Range(0, 0.2).Draw(t, "by")
		a := paths.ArcAround(near(paths.Point{}, 100), r, rapid.Float64Range(-4, 4).Draw(t, "from"), rapid.Float64Range(-7, 7).Draw(t, "sweep"))
		b := paths.Arc{From: near(a.From, by), To: near(a.To, by), Centre: near(a.Centre, by), Sweep: a.Sweep + rapid.Float64Range(-by, by).Draw(t, "more")/r}
		tol := 4 * by
		if !alongside(paths.Stroke{a}, paths.Stroke{b}, tol) {
			return
		}
		for k := range 101 {
			if d := a.At(float64(k) / 100).Dist(b.At(float64(k) / 100)); d > tol+1e-9 {
				t.Fatalf("%v and %v are %.4f mm apart, which is more than %.4f", a, b, d, tol)
			}
		}
	})
	written := func(x float64) float64 { return math.Round(100*x) / 100 }
	a := paths.ArcAround(pt(12.3456, 7.8912), 1.2345, 1, 2*math.Pi)
	from := pt(written(a.From.X), written(a.From.Y))
	off := a.Centre.Sub(from)
	b := paths.Arc{From: from, To: from, Centre: from.Add(pt(written(off.X), written(off.Y))), Sweep: 2 * math.Pi}
	if !alongside(paths.Stroke{a}, paths.Stroke{b}, 0.05) || alongside(paths.Stroke{a}, paths.Stroke{b}, 0.0001) {
		t.Error("a circle written in hundredths is not told from one that lies elsewhere")
	}
	if !alongside(paths.Stroke{a}.StartingAt(0, 0.3), paths.Stroke{paths.ArcAround(a.Centre, 1.2345, 1+0.6*math.Pi, 2*math.Pi)}, 0.0001) {
		t.Error("a circle that begins elsewhere is not told from one that lies elsewhere")
	}
	if alongside(paths.Stroke{a}, paths.Stroke{b.Reverse()}, 0.05) || alongside(paths.Stroke{paths.Line{B: pt(1, 0)}}, paths.Stroke{a}, 10) {
		t.Error("curves that run another way are said to lie alongside")
	}
}

// TestCirclesAlongside: circles with centres d apart lie alongside one another where d and
// the difference of their radii are at most the tolerance, wherever they begin; and that is
// how far the farthest of many points lies (brute force).
func TestCirclesAlongside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(-math.Pi, math.Pi)
		r, more := rapid.Float64Range(0.2, 50).Draw(t, "radius"), rapid.Float64Range(-0.1, 0.1).Draw(t, "more")
		d, way := rapid.Float64Range(0, 0.1).Draw(t, "apart"), angle.Draw(t, "way")
		a := paths.ArcAround(pt(3, 4), r, angle.Draw(t, "from"), 2*math.Pi)
		b := paths.ArcAround(pt(3+d*math.Cos(way), 4+d*math.Sin(way)), r+more, angle.Draw(t, "other"), 2*math.Pi)
		far := d + math.Abs(more)
		if !alongside(paths.Stroke{a}, paths.Stroke{b}, far+1e-9) || alongside(paths.Stroke{a}, paths.Stroke{b}, far-1e-6) {
			t.Fatalf("%v and %v are %v mm apart, which is not what they are said to be", a, b, far)
		}
		worst := 0.0
		for i := range 720 {
			worst = max(worst, math.Abs(a.At(float64(i)/720).Dist(b.Centre)-b.Radius()))
		}
		if worst > far+1e-9 || worst < far-0.001 {
			t.Fatalf("the farthest point of %v is %v mm from %v, not %v", a, worst, b, far)
		}
	})
}
