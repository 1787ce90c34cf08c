package scan

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/truth"
)

// TestWidePen draws lines as wide as a marker's whose middles are known: bends as tight
// as the pen is wide, sharp corners, a crossing, a branch and a ring. The middle of the
// ink lies up to a mm inside such bends and corners.
func TestWidePen(t *testing.T) {
	for _, c := range []struct {
		name    string
		strokes []paths.Stroke
	}{
		{"bend", []paths.Stroke{{
			paths.Line{A: pt(10, 35), B: pt(30, 35)},
			paths.ArcBulge(pt(30, 35), pt(30, 29), -1), paths.Line{A: pt(30, 29), B: pt(10, 29)},
		}}},
		{"corner", []paths.Stroke{paths.Polyline(pt(10, 8), pt(50, 8), pt(18, 32))}},
		{"crossing", []paths.Stroke{paths.Polyline(pt(8, 10), pt(52, 30)), paths.Polyline(pt(8, 30), pt(52, 10))}},
		{"branch", []paths.Stroke{paths.Polyline(pt(8, 30), pt(52, 30)), paths.Polyline(pt(25, 30), pt(40, 8))}},
		{"ring", []paths.Stroke{{paths.Circle(pt(30, 20), 6)}}},
	} {
		for _, width := range []float64{3, 4.5} {
			got, s := traced(t, flatScan(width), 150, c.strokes...)
			if s.Worst > 0.3 || s.P95 > 0.12 || s.Missing > 0 || s.Spurious > 0 || len(got.Strokes) != len(c.strokes) {
				t.Errorf("%s, %v mm wide: %d strokes, %v", c.name, width, len(got.Strokes), s)
			}
		}
	}
}

// TestPensOfTwoWidths draws with a wide pen and a still wider one: each has its own
// middle.
func TestPensOfTwoWidths(t *testing.T) {
	for _, widths := range [][2]float64{{3, 4.5}, {4.5, 3}} {
		page, one := flatScan(widths[0]).Of(sheet(paths.Polyline(pt(8, 30), pt(52, 30)), paths.Polyline(pt(8, 22), pt(52, 22))), 150)
		other, two := flatScan(widths[1]).Of(sheet(paths.Polyline(pt(8, 10), pt(30, 10)), paths.Stroke{paths.Circle(pt(42, 10), 6)}), 150)
		for i, v := range other.Light {
			page.Light[i] = min(page.Light[i], v)
		}
		got, err := Trace(page, Options{})
		if err != nil {
			t.Fatal(err)
		}
		s := truth.Compare(got.Strokes, append(one.Strokes, two.Strokes...))
		if len(got.Strokes) != 4 || s.P95 > 0.05 || s.Missing > 0.1 || s.Spurious > 0.1 {
			t.Errorf("%v mm wide: %d strokes, %v", widths, len(got.Strokes), s)
		}
	}
}
