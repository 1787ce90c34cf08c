package warp_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/near"
	_ "weftplot/paths/samecases"
	"weftplot/paths/warp"
)

func drawPoint(t *rapid.T, name string) paths.Point {
	return paths.Point{X: rapid.Float64Range(-500, 500).Draw(t, name+".x"), Y: rapid.Float64Range(-500, 500).Draw(t, name+".y")}
}

// drawCurve draws a curve of any kind, a retracted handle and a closed loop among them.
func drawCurve(t *rapid.T) paths.Curve {
	a, d := drawPoint(t, "a"), drawPoint(t, "d")
	switch rapid.IntRange(0, 4).Draw(t, "kind") {
	case 0:
		return paths.Line{A: a, B: d}
	case 1:
		return paths.ArcBulge(a, d, rapid.Float64Range(-8, 8).Draw(t, "bulge"))
	case 2:
		return paths.Cubic{A: a, B: a, C: drawPoint(t, "c"), D: d}
	case 3:
		return paths.Cubic{A: a, B: drawPoint(t, "b"), C: drawPoint(t, "c"), D: a}
	}
	return paths.Cubic{A: a, B: drawPoint(t, "b"), C: drawPoint(t, "c"), D: d}
}

// Points along a curve, put through the map one by one, lie on its image; the stroke
// stays whole.
func TestStrokeFollowsTheMap(t *testing.T) {
	bow := func(p paths.Point) paths.Point {
		return paths.Point{X: p.X*1.02 + p.Y*0.03, Y: p.Y + 12*math.Sin(p.X/300)}
	}
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		s := paths.Stroke{c, paths.Line{A: c.End(), B: drawPoint(t, "e")}}
		out := warp.Stroke(s, bow, 0.05)
		if err := out.Validate(); err != nil {
			t.Fatal(err)
		}
		flat := out.Flatten(0.002)
		for i := range 200 {
			p := bow(c.At(float64(i) / 199))
			d := p.Dist(flat[0])
			for k := 1; k < len(flat); k++ {
				d = min(d, paths.Line{A: flat[k-1], B: flat[k]}.Dist(p))
			}
			if d > 0.055 {
				t.Fatalf("the image of %v is %g from where the map puts %v", c, d, p)
			}
		}
	})
}

func TestLineUnderALinearMapStaysALine(t *testing.T) {
	got := warp.Stroke(paths.Polyline(paths.Point{}, paths.Point{X: 100, Y: 50}), func(p paths.Point) paths.Point { return p.Mul(2) }, 0.05)
	if len(got) != 1 || got[0] != paths.Curve(paths.Line{B: paths.Point{X: 200, Y: 100}}) {
		t.Errorf("it came out as %v", got)
	}
}

// A map may bend so sharply that the bend lies between the places that Stroke looks at;
// one that knows how fine it is hides nothing. Source: brute force.
func TestFineSeesWhatIsNarrow(t *testing.T) {
	pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	long := paths.Cubic{A: pt(0, 0), B: pt(30, 10), C: pt(60, -10), D: pt(90, 0)}
	back := paths.Line{A: pt(90, 0), B: pt(0, 0)}
	for _, at := range []float64{13, 25, 38, 51, 64, 76, 85} {
		bump := func(p paths.Point) paths.Point { return pt(p.X, p.Y+2*math.Exp(-(p.X-at)*(p.X-at)/2)) }
		image := warp.Fine(paths.Stroke{long, back}, bump, 0.05, 0.5)
		pts := image.Flatten(0.001)
		for i := range 2001 {
			for _, c := range []paths.Curve{long, back} {
				at := bump(c.At(float64(i) / 2000))
				d := math.Inf(1)
				for k := 1; k < len(pts); k++ {
					d = min(d, paths.Line{A: pts[k-1], B: pts[k]}.Dist(at))
				}
				if d > 0.05 {
					t.Fatalf("bump at %g: the image lies %.3f mm off the map", at, d)
				}
			}
		}
	}
}

// TestCurveKeepsItsKind: what is only moved stays the same curve, an arc that is turned and
// scaled stays an arc, and what bends lies within the tolerance of its true image, from end
// to end.
func TestCurveKeepsItsKind(t *testing.T) {
	arc := paths.ArcAround(paths.Point{X: 10, Y: 20}, 30, 0.4, 2)
	by := paths.Point{X: 3, Y: -4}
	move := func(p paths.Point) paths.Point { return p.Add(by) }
	got := warp.Curve(arc, move, move(arc.From), move(arc.To), 0.05, 1)
	if want := (paths.Arc{From: move(arc.From), To: move(arc.To), Centre: arc.Centre.Add(by), Sweep: arc.Sweep}); len(got) != 1 || got[0] != want {
		t.Errorf("an arc that is moved becomes %v, want %v", got, want)
	}
	turn := paths.Rotate(0.3).Then(paths.Scale(1.2, 1.2)).Apply
	got = warp.Curve(arc, turn, turn(arc.From), turn(arc.To), 0.05, 1)
	if a, ok := got[0].(paths.Arc); !ok || len(got) != 1 || math.Abs(a.Radius()-36) > 1e-9 {
		t.Errorf("an arc that is turned and scaled becomes %v", got)
	}
	bow := func(p paths.Point) paths.Point { return paths.Point{X: p.X, Y: p.Y + 5*math.Sin(p.X/15)} }
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		a, b := bow(c.Start()), bow(c.End())
		image := warp.Curve(c, bow, a, b, 0.05, 3)
		if image.Start() != a || image.End() != b {
			t.Fatalf("the image of %v goes from %v to %v, want %v to %v", c, image.Start(), image.End(), a, b)
		}
		for i := range 50 {
			p := bow(c.At(float64(i) / 49))
			if _, _, d := near.OnStroke(image, p); d > 0.055 {
				t.Fatalf("the image of %v is %g from where the map puts %v", c, d, p)
			}
		}
	})
}
