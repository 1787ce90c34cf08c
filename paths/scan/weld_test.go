package scan

import (
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
)

// TestEndsMeet draws lines that end on others, rings that a line crosses, and a line
// that stops short of another.
func TestEndsMeet(t *testing.T) {
	ring := paths.Stroke{paths.Circle(pt(20, 20), 9)}
	got, s := traced(t, flatScan(0.8), 300, ring,
		paths.Polyline(pt(11, 20), pt(29, 20)), paths.Polyline(pt(20, 11), pt(20, 29)),
		paths.Polyline(pt(36, 8), pt(36, 32)), paths.Polyline(pt(38.4, 20), pt(52, 20)))
	if s.Missing > 0 || s.Spurious > 0 {
		t.Errorf("%v", s)
	}
	listed := 0
	for _, f := range got.Finds {
		if f.Kind == Doubtful && strings.Contains(f.Message, "stops 2.") {
			listed++
			if f.At.Dist(pt(37.2, 20)) > 0.5 {
				t.Errorf("the gap is listed at %v", f.At)
			}
		}
	}
	if listed != 1 {
		t.Errorf("%d gaps are listed, want the one 2.4 mm wide: %v", listed, got.Finds)
	}
	// The four arms of the cross end on the ring, exactly.
	for _, p := range []paths.Point{pt(11, 20), pt(29, 20), pt(20, 11), pt(20, 29)} {
		near := 0
		for _, o := range got.Strokes {
			if !o.IsClosed() && (o.Start().Dist(p) < 0.15 || o.End().Dist(p) < 0.15) {
				near++
			}
		}
		if near != 1 {
			t.Errorf("%d ends at %v, want 1", near, p)
		}
	}
}

// TestEndsMeetTheirOwnLine closes the end of a line that stops beside an earlier part of
// itself, and leaves one that stops a little way off its own start as it is.
func TestEndsMeetTheirOwnLine(t *testing.T) {
	const width = 8
	for _, c := range []struct {
		name  string
		line  paths.Stroke
		meets bool
	}{
		{"a loop", paths.Polyline(pt(0, 0), pt(200, 0), pt(200, 100), pt(100, 100), pt(100, 4)), true},
		{"a loop too far", paths.Polyline(pt(0, 0), pt(200, 0), pt(200, 100), pt(100, 100), pt(100, 40)), false},
		{"a hook", paths.Polyline(pt(-40, 0), pt(12, 0), pt(12, 6), pt(5, 6)), false},
	} {
		for _, last := range []bool{true, false} {
			s := c.line
			if !last {
				s = s.Reverse()
			}
			w := welder{k: ink{width: width}, strokes: []paths.Stroke{s}, boxes: make([]paths.Rect, 1), reach: 4 * width, sure: weldWidths * width}
			w.box(0)
			w.close(0, last, w.sure)
			_, _, d := near.OnStroke(c.line, endOf(w.strokes[0], last))
			moved := endOf(w.strokes[0], last) != endOf(s, last)
			if moved != c.meets || d > 1e-6 {
				t.Errorf("%s, last %v: its end is at %v, %v off the line", c.name, last, endOf(w.strokes[0], last), d)
			}
		}
	}
}

func TestJoinedAtEnds(t *testing.T) {
	got := joinedAtEnds([]paths.Stroke{
		paths.Polyline(pt(0, 0), pt(1, 0)), paths.Polyline(pt(2, 0), pt(1, 0)), paths.Polyline(pt(2, 0), pt(2, 5)),
		paths.Polyline(pt(9, 0), pt(9, 1)), paths.Polyline(pt(9, 1), pt(8, 2)), paths.Polyline(pt(9, 1), pt(7, 2)), // three meet
		paths.Polyline(pt(20, 0), pt(21, 0)), paths.Polyline(pt(21, 0), pt(21, 1), pt(20, 0)), // a triangle
		paths.Polyline(pt(30, 0)),
	})
	if len(got) != 6 || len(got[0]) != 3 || !got[4].IsClosed() {
		t.Errorf("joined to %v", got)
	}
}

// TestCornersTouch draws a corner whose ink just touches a line, or does not: the area
// that it closes on paper stays closed.
func TestCornersTouch(t *testing.T) {
	line := paths.Polyline(pt(5, 10), pt(55, 12))
	for _, c := range []struct {
		off     float64 // mm
		touches bool
	}{{0.3, true}, {0.2, true}, {1.4, false}} {
		got, s := traced(t, flatScan(0.7), 200, line, paths.Polyline(pt(20, 30), pt(28, 10.92+c.off), pt(40, 22)))
		if len(got.Strokes) != 2 || s.Missing > 0 || s.Spurious > 0 {
			t.Errorf("%v mm off: %d strokes, %v", c.off, len(got.Strokes), s)
			continue
		}
		least := math.Inf(1)
		for i := range 2 {
			for _, k := range got.Strokes[i][1:] {
				_, _, d := near.OnStroke(got.Strokes[1-i], k.Start())
				least = min(least, d)
			}
		}
		if (least < 1e-6) != c.touches {
			t.Errorf("%v mm off: the corner lies %v mm off the line", c.off, least)
		}
	}
}
