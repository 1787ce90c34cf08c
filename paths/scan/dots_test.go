package scan

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/truth"
)

// TestDotsAreKept draws dots among lines, and specks of dust that are smaller or
// paler: the dots come out as dots, the specks not at all.
func TestDotsAreKept(t *testing.T) {
	for _, p := range []truth.Paper{truth.Scan(0.5), truth.Scan(1.2), truth.Pencil(0.8), truth.Faint(0.8), truth.Photo(0.8)} {
		for _, dpi := range []float64{150, 300} {
			d := sheet(
				paths.Polyline(pt(5, 5), pt(55, 5)), paths.Polyline(pt(5, 35), pt(55, 35)),
				paths.Polyline(pt(15, 20)), paths.Polyline(pt(30, 20)), paths.Polyline(pt(45, 20)),
			)
			page, drawn := p.Of(d, dpi)
			got, err := Trace(page, Options{})
			if err != nil {
				t.Fatal(err)
			}
			var dots []paths.Stroke
			for _, s := range got.Strokes {
				if s.IsDot() {
					dots = append(dots, s)
				}
			}
			if s := truth.Compare(dots, drawn.Strokes[2:]); len(dots) != 3 || s.Worst > 0.15 {
				t.Errorf("%s %v at %v: %d dots, %v; %v", p.Name, p.Width, dpi, len(dots), s, got.Finds)
			}
		}
	}
}
