package scan

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/paths/near"
	"weftplot/paths/scan/raster"
)

// faintPage is a page of 60 x 40 mm with a faint line 0.6 mm wide, of which dark says at
// each place how much darker than paper it is, in steps of grey.
func faintPage(s paths.Stroke, dark func(paths.Point) float64) raster.Page {
	const mm = 25.4 / 150
	p := raster.Page{W: 354, H: 236, MM: mm}
	p.Light = make([]uint8, p.W*p.H)
	for i := range p.Light {
		at := pt((float64(i%p.W)+0.5)*mm, (float64(p.H-i/p.W)-0.5)*mm)
		_, _, far := near.OnStroke(s, at)
		p.Light[i] = uint8(230 - dark(at)*min(1, max(0, 0.5+(0.3-far)/mm)) + 0.5)
	}
	return p
}

// TestFaintLinesAreFollowed: where 4 mm of a line are a third as dark as the rest, less
// than counts as ink, it goes on; where the paper is bare, it ends. All sizes here are
// our own: there is no standard for it.
func TestFaintLinesAreFollowed(t *testing.T) {
	line := paths.Polyline(pt(8, 20), pt(52, 21))
	ring := paths.Stroke{paths.Circle(pt(30, 20), 9)}
	branch := paths.Polyline(pt(10, 8), pt(30, 30), pt(50, 8))
	for _, c := range []struct {
		name    string
		s       paths.Stroke
		between float64 // grey in the gap, of 60 elsewhere
		strokes int
		closed  bool
	}{
		{"line", line, 18, 1, false},
		{"line, bare", line, 0, 2, false},
		{"ring", ring, 18, 1, true},
		{"ring, bare", ring, 0, 1, false},
		{"side of a roof", branch, 18, 1, false},
		{"side of a roof, bare", branch, 0, 2, false},
	} {
		gap := c.s.Flatten(0.01)
		middle := gap[0].Lerp(gap[1], 0.5)
		if len(c.s) == 1 {
			middle = c.s[0].At(0.5)
		}
		got, err := Trace(faintPage(c.s, func(p paths.Point) float64 {
			if p.Dist(middle) < 2 {
				return c.between
			}
			return 60
		}), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Strokes) != c.strokes || got.Strokes[0].IsClosed() != c.closed {
			t.Errorf("%s: %d strokes", c.name, len(got.Strokes))
			continue
		}
		if off := deviation.Of(c.s, got.Strokes[0], 0.05); c.between > 0 && off > 0.25 {
			t.Errorf("%s: %.2f mm off", c.name, off)
		}
	}
}
