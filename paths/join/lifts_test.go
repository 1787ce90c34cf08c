package join

import (
	"testing"

	"weftplot/paths"
)

// TestInkOfALift: two lines share 20 mm. Drawn once, these leave six ends of odd degree
// and so three strokes (Euler 1736) instead of two, which is worth it where a lift takes
// the time of 20 mm at most.
func TestInkOfALift(t *testing.T) {
	a := paths.Polyline(pt(0, 0), pt(40, 10), pt(60, 10), pt(100, 0))
	b := paths.Polyline(pt(0, 20), pt(40, 10), pt(60, 10), pt(100, 20))
	for _, c := range []struct {
		perLift, merged float64
		strokes         int
	}{{0, 20, 3}, {3, 20, 3}, {19.9, 20, 3}, {20.1, 0, 2}, {1000, 0, 2}} {
		got, report, err := Strokes([]paths.Stroke{a, b}, Options{Tolerance: 0.01, InkPerLift: c.perLift})
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != c.strokes || report.MergedMM < c.merged-0.1 || report.MergedMM > c.merged+0.1 {
			t.Errorf("at %v mm a lift: %d strokes, %v mm merged, not %d and %v", c.perLift, len(got), report.MergedMM, c.strokes, c.merged)
		}
	}
}
