package scan

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/scan/truth"
)

// traced traces a sheet drawn on some paper and returns how near it comes.
func traced(t *testing.T, p truth.Paper, dpi float64, strokes ...paths.Stroke) (Tracing, truth.Score) {
	t.Helper()
	page, drawn := p.Of(sheet(strokes...), dpi)
	got, err := Trace(page, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return got, truth.Compare(got.Strokes, drawn.Strokes)
}

// TestCrossingsGoStraightThrough draws two lines that cross at ever flatter
// angles: they stay two, and straight.
func TestCrossingsGoStraightThrough(t *testing.T) {
	for _, deg := range []float64{90, 60, 45, 30, 20, 15} {
		for _, width := range []float64{0.5, 0.8} {
			u := pt(math.Cos(deg/2*degree), math.Sin(deg/2*degree)).Mul(18)
			c := pt(30, 20)
			got, s := traced(t, flatScan(width), 300,
				paths.Polyline(c.Sub(u), c.Add(u)), paths.Polyline(c.Add(pt(-u.X, u.Y)), c.Add(pt(u.X, -u.Y))))
			if len(got.Strokes) != 2 || s.Nodes > 5 || s.Worst > 0.12 {
				t.Errorf("%v mm wide at %v degrees: %d strokes, %v", width, deg, len(got.Strokes), s)
			}
		}
	}
}

// TestBranchesEndOnTheLine draws a T, a slanting branch and one on a circle.
func TestBranchesEndOnTheLine(t *testing.T) {
	got, s := traced(t, flatScan(0.8), 300,
		paths.Polyline(pt(5, 30), pt(55, 30)), paths.Polyline(pt(15, 30), pt(15, 10)),
		paths.Polyline(pt(25, 30), pt(32, 37)),
		paths.Stroke{paths.Circle(pt(42, 15), 8)}, paths.Polyline(pt(34, 15), pt(22, 12)))
	if len(got.Strokes) != 5 || s.Worst > 0.12 || s.Missing > 0 {
		t.Errorf("%d strokes, %v", len(got.Strokes), s)
	}
	for _, stroke := range got.Strokes {
		if stroke.IsClosed() {
			if _, ok := stroke[0].(paths.Arc); !ok || len(stroke) != 1 {
				t.Errorf("the circle is %v", stroke)
			}
		}
	}
}

// TestCornersStaySharp draws pairs of lines that meet at an angle: two nodes at
// the ends and one in the corner, where it was drawn.
func TestCornersStaySharp(t *testing.T) {
	for _, deg := range []float64{25, 40, 60, 90, 120, 140} {
		for _, width := range []float64{0.5, 1} {
			v := pt(30, 12)
			u := pt(math.Sin(deg/2*degree), math.Cos(deg/2*degree)).Mul(20)
			got, s := traced(t, flatScan(width), 300, paths.Polyline(v.Add(pt(-u.X, u.Y)), v, v.Add(u)))
			if len(got.Strokes) != 1 || len(got.Strokes[0]) != 2 {
				t.Errorf("%v mm wide at %v degrees: %v", width, deg, got.Strokes)
				continue
			}
			if d := got.Strokes[0][0].End().Dist(v); d > 0.15 || s.P95 > 0.05 {
				t.Errorf("%v mm wide at %v degrees: the corner is %.3f mm off, %v", width, deg, d, s)
			}
		}
	}
}

// TestTightBendsStayRound draws arcs of small radius between straight lines.
func TestTightBendsStayRound(t *testing.T) {
	for _, r := range []float64{1.2, 2, 4} {
		got, s := traced(t, flatScan(0.8), 300, paths.Stroke{
			paths.Line{A: pt(10, 10), B: pt(40, 10)},
			paths.ArcBulge(pt(40, 10), pt(40+r, 10+r), math.Tan(math.Pi/8)),
			paths.Line{A: pt(40+r, 10+r), B: pt(40+r, 35)},
		})
		if len(got.Strokes) != 1 || len(got.Strokes[0]) < 3 || s.P95 > 0.05 {
			t.Errorf("radius %v: %v, %v", r, got.Strokes, s)
		}
	}
}

// TestGapsAreBridged draws a line with breaks: gaps where a pencil skipped are
// bridged and reported; a wide one stays, and so does one to a line with
// another direction.
func TestGapsAreBridged(t *testing.T) {
	got, _ := traced(t, flatScan(0.6), 300,
		paths.Polyline(pt(5, 30), pt(20, 30)), paths.Polyline(pt(21.4, 30), pt(40, 30)), // 0.8 mm bare
		paths.Polyline(pt(44, 30), pt(55, 30)), // 3.4 mm bare
		paths.Polyline(pt(5, 15), pt(20, 15)), paths.Polyline(pt(21.4, 15.3), pt(25, 28)))
	gaps := 0
	for _, f := range got.Finds {
		if f.Kind == GapBridged {
			gaps++
			if f.At.Dist(pt(20.7, 30)) > 0.5 || len(f.Stroke) == 0 {
				t.Errorf("a gap bridged at %v by %v", f.At, f.Stroke)
			}
		}
	}
	if gaps != 1 || len(got.Strokes) != 4 {
		t.Errorf("%d gaps bridged, %d strokes", gaps, len(got.Strokes))
	}
}

// TestShadowsAreNoLines lights a page from one side of a fold.
func TestShadowsAreNoLines(t *testing.T) {
	page, drawn := truth.Photo(0.8).Of(sheet(paths.Polyline(pt(5, 5), pt(55, 7)), paths.Polyline(pt(5, 35), pt(55, 30))), 300)
	got, err := Trace(page, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if s := truth.Compare(got.Strokes, drawn.Strokes); s.Spurious > 0.6 || s.Missing > 0.3 {
		t.Errorf("%v", s)
	}
}

// TestLineWidthIsMeasured draws lines of known widths.
func TestLineWidthIsMeasured(t *testing.T) {
	for _, width := range []float64{0.5, 0.8, 1.2} {
		got, _ := traced(t, flatScan(width), 300, paths.Polyline(pt(5, 10), pt(55, 30)))
		if math.Abs(got.LineMM-width) > 0.04 {
			t.Errorf("a line %v mm wide is measured as %.3f", width, got.LineMM)
		}
	}
}

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
		s := fitter{q: q, tol: tol, kink: 5 * degree}.fit()
		if err := s.Validate(); err != nil || s.Start() != q[0] || s.End() != q[len(q)-1] {
			t.Fatalf("%v: %v to %v", err, s.Start(), s.End())
		}
		if d := paths.Deviation(paths.Polyline(q...), s, 0.02); d > 2*tol+0.05 {
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
		s := fitter{q: q, tol: 0.3, kink: 5 * degree}.fit()
		if len(s) != 1 {
			t.Errorf("%s is %d pieces", name, len(s))
			continue
		}
		if d := paths.Deviation(paths.Stroke{c}, s, 0.01); d > 0.3 {
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
	c, r, ok := circleThrough(q)
	if !ok || c.Dist(pt(12, -7)) > 1e-9 || math.Abs(r-5) > 1e-9 {
		t.Errorf("circle about %v with radius %v", c, r)
	}
}

// A box with sides of a few widths keeps its four corners, and a ring of that
// size gets none, on grainy paper at a coarse resolution.
func TestSmallBoxesAndRings(t *testing.T) {
	box := paths.Polyline(pt(20, 20), pt(24, 20), pt(24, 23.2), pt(20, 23.2), pt(20, 20))
	ring := paths.Stroke{paths.Circle(pt(40, 21), 2.5)}
	page, drawn := truth.Pencil(0.7).Of(sheet(box, ring), 150)
	got, err := Trace(page, Options{})
	if err != nil || len(got.Strokes) != 2 {
		t.Fatalf("%d strokes: %v", len(got.Strokes), err)
	}
	box, ring = drawn.Strokes[0], drawn.Strokes[1]
	for _, s := range got.Strokes {
		if ring.Bounds().Contains(s.Bounds().Centre()) {
			if s.Bounds().Centre().Dist(ring.Bounds().Centre()) > 0.1 || len(s) > 3 {
				t.Errorf("the ring is %v", s)
			}
			continue
		}
		for _, corner := range box {
			if d := nearestJoint(s, corner.End()); d > 0.15 {
				t.Errorf("the nearest joint to the corner %v is %.2f mm off: %v", corner.End(), d, s)
			}
		}
	}
}

// nearestJoint returns how far p is from the nearest joint of a stroke.
func nearestJoint(s paths.Stroke, p paths.Point) float64 {
	d := s.Start().Dist(p)
	for _, c := range s {
		d = min(d, c.End().Dist(p))
	}
	return d
}
