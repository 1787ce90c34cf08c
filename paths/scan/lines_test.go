package scan

import (
	"math"
	"testing"

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
	for i, deg := range []float64{90, 60, 45, 30, 20, 15} {
		for k, width := range []float64{0.5, 0.8} {
			if !*thorough && (i+k)%2 == 0 && deg != 15 {
				continue
			}
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
	for i, deg := range []float64{25, 40, 60, 90, 120, 140} {
		for k, width := range []float64{0.5, 1} {
			if !*thorough && (i+k)%2 == 0 && deg != 25 {
				continue
			}
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
