package knife

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	_ "weftplot/paths/samecases"
	"weftplot/plot/fit"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

var blade = Blade{Offset: 0.25, Overcut: 0.5, RunIn: paths.Line{A: pt(-20, -20), B: pt(-15, -20)}, Swing: 5 * math.Pi / 180}

// trail simulates the blade: the axis moves in small steps, and after each the
// tip moves straight towards it until it is the offset away again. This is the
// equation of the tractrix, solved by Euler's method. It returns the path of
// the tip and the direction of the blade at the end.
func trail(axis paths.Stroke, heading paths.Point, e float64) ([]paths.Point, paths.Point) {
	const step = 0.01
	h := axis.Start()
	tip := h.Sub(heading.Mul(e))
	out := []paths.Point{tip}
	for _, c := range axis {
		n := int(math.Ceil(c.Length()/step)) + 1
		for k := 1; k <= n; k++ {
			h = c.At(float64(k) / float64(n))
			d := h.Sub(tip)
			tip = h.Sub(d.Unit().Mul(e))
			out = append(out, tip)
		}
	}
	return out, h.Sub(tip).Unit()
}

// cut simulates all the ways and returns what the tip cuts, a polyline a way.
func cut(ways []paths.Stroke, b Blade) []paths.Stroke {
	heading := paths.Point{X: 1}
	var out []paths.Stroke
	for _, w := range ways {
		var pts []paths.Point
		pts, heading = trail(w, heading, b.Offset)
		out = append(out, thin(pts))
	}
	return out
}

// thin leaves out points that are nearly the same as the one before.
func thin(pts []paths.Point) paths.Stroke {
	kept := pts[:1:1]
	for _, p := range pts {
		if p.Dist(kept[len(kept)-1]) > 0.01 {
			kept = append(kept, p)
		}
	}
	return paths.Polyline(append(kept, pts[len(pts)-1])...)
}

// check simulates the cuts and compares them with the strokes, both ways. The
// first way may be the run-in.
func check(t interface {
	Errorf(string, ...any)
	Logf(string, ...any)
}, strokes []paths.Stroke, b Blade, tol float64) float64 {
	ways := Ways(strokes, b)
	cuts := cut(ways, b)
	if b.RunIn.A != b.RunIn.B {
		cuts = cuts[1:]
	}
	passes := max(1, b.Passes)
	if len(cuts) != len(strokes)*passes {
		t.Errorf("%d cuts for %d strokes in %d passes", len(cuts), len(strokes), passes)
		return 0
	}
	var worst float64
	for i, got := range cuts {
		s := strokes[i/passes]
		off := deviation.Apart(s, got, 0.01)
		worst = max(worst, off)
		if off > tol {
			t.Errorf("stroke %d is cut %.4f mm off", i+1, off)
		}
	}
	for i, w := range ways {
		if err := w.Validate(); err != nil {
			t.Errorf("way %d: %v", i+1, err)
		}
	}
	return worst
}

func TestCornersAndCurves(t *testing.T) {
	square := paths.Polyline(pt(0, 0), pt(20, 0), pt(20, 20), pt(0, 20), pt(0, 0))
	star := paths.Polyline(pt(30, 0), pt(32, 20), pt(34, 0), pt(25, 12), pt(39, 12), pt(30, 0))
	circle := paths.Stroke{paths.Circle(pt(50, 10), 6)}
	small := paths.Stroke{paths.Circle(pt(50, 10), 0.4)}
	leaf := paths.Stroke{paths.ArcBulge(pt(60, 0), pt(80, 0), 0.5), paths.ArcBulge(pt(80, 0), pt(60, 0), 0.3)}
	wave := fit.Arcs(paths.Stroke{paths.Cubic{A: pt(0, 30), B: pt(20, 60), C: pt(40, 0), D: pt(60, 30)}}, 0.02)
	back := paths.Polyline(pt(0, 70), pt(10, 70), pt(2, 70))
	all := []paths.Stroke{square, star, circle, small, leaf, wave, back}
	for _, e := range []float64{0.25, 0.5} {
		b := blade
		b.Offset = e
		t.Logf("offset %.2f mm: the tip strays %.4f mm at most", e, check(t, all, b, 0.1))
		b.Passes = 2
		check(t, all, b, 0.1)
	}
	// Without compensation the blade cuts corners, by more.
	plain, _ := trail(square, pt(1, 0), 0.5)
	if d := deviation.Of(square, thin(plain), 0.01); d < 0.1 {
		t.Errorf("without the offset made up for, the corners are %v mm off: the test sees nothing", d)
	}
}

// TestAxisRadius: on a tip radius of 10 mm a blade of 0.25 mm needs 10.003125
// mm, on 1 mm 1.030776 mm: √(r² + e²), which a public workshop thread gives too.
func TestAxisRadius(t *testing.T) {
	for r, want := range map[float64]float64{10: 10.003125, 1: 1.030776} {
		w := holder{e: 0.25, heading: pt(0, 1)}
		arc := w.along(paths.Stroke{paths.Circle(pt(0, 0), r)})[0].(paths.Arc)
		if math.Abs(arc.Radius()-want) > 1e-6 || math.Abs(arc.To.Dist(arc.Centre)-want) > 1e-6 {
			t.Errorf("a tip radius of %v takes %v, want %v", r, arc.Radius(), want)
		}
	}
}

func TestOvercutGoesOn(t *testing.T) {
	square := paths.Polyline(pt(0, 0), pt(2, 0), pt(2, 2), pt(0, 2), pt(0, 0))
	for _, c := range []struct{ by, x, y float64 }{{0, 0, 0}, {0.5, 0.5, 0}, {3, 2, 1}, {9, 1, 0}} {
		got := over(square, c.by)
		if got.End().Dist(pt(c.x, c.y)) > 1e-12 || math.Abs(got.Length()-8-c.by) > 1e-9 {
			t.Errorf("over by %v it ends at %v after %v mm", c.by, got.End(), got.Length())
		}
	}
	open := paths.Polyline(pt(0, 0), pt(5, 0))
	if got := over(open, 1); got.End() != pt(5, 0) {
		t.Errorf("an open stroke goes on to %v", got.End())
	}
}

func TestNothingToCut(t *testing.T) {
	dot := []paths.Stroke{paths.Polyline(pt(1, 1))}
	if got := Ways(dot, Blade{Offset: 0.25}); len(got) != 0 {
		t.Errorf("a dot gives %v", got)
	}
	if got := Ways(dot, Blade{}); len(got) != 1 {
		t.Errorf("a blade with no offset gives %v", got)
	}
}

// TestAnyStroke cuts any chain of lines and arcs whose pieces are longer than
// the offset, and whose arcs are not tighter than it.
func TestAnyStroke(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Float64Range(-15, 15)
		at := pt(0, 0)
		var s paths.Stroke
		for range rapid.IntRange(1, 5).Draw(t, "n") {
			to := at.Add(pt(coord.Draw(t, "x"), coord.Draw(t, "y")))
			if to.Dist(at) < 0.6 {
				continue
			}
			s = append(s, paths.ArcBulge(at, to, rapid.SampledFrom([]float64{0, 0, 0.3, -0.8, 1}).Draw(t, "bulge")))
			at = to
		}
		if len(s) == 0 {
			return
		}
		if rapid.Bool().Draw(t, "closed") && at.Dist(s.Start()) > 0.6 {
			s = append(s, paths.Line{A: at, B: s.Start()})
		}
		check(t, []paths.Stroke{s}, blade, 0.1)
	})
}

func TestNest(t *testing.T) {
	square := func(x, y, r float64) paths.Stroke {
		return paths.Polyline(pt(x-r, y-r), pt(x+r, y-r), pt(x+r, y+r), pt(x-r, y+r), pt(x-r, y-r))
	}
	strokes := []paths.Stroke{
		square(0, 0, 50), square(0, 0, 40), paths.Polyline(pt(-45, 0), pt(-42, 0)), square(10, 10, 5),
		square(200, 0, 5), paths.Polyline(pt(10, 10), pt(11, 11)),
	}
	want := [][]int{{5}, {3}, {1, 2}, {0, 4}}
	got := Nest(strokes)
	if len(got) != len(want) {
		t.Fatalf("Nest = %v, want %v", got, want)
	}
	for i := range want {
		if len(got[i]) != len(want[i]) {
			t.Fatalf("Nest = %v, want %v", got, want)
		}
		for k := range want[i] {
			if got[i][k] != want[i][k] {
				t.Fatalf("Nest = %v, want %v", got, want)
			}
		}
	}
	if got := Nest(nil); len(got) != 0 {
		t.Errorf("Nest of nothing = %v", got)
	}
}
