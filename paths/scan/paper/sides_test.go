package paper_test

import (
	"bytes"
	"math"
	"testing"

	"weftplot/paths/scan/paper"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
	"weftplot/paths/scan/truth"
)

// blankSheet is a picture of bare paper, 110 by 95 mm at 150 dots to the inch.
func blankSheet() raster.Page {
	page, _ := truth.Scan(0.8).Of(truth.Drawing{Name: "blank", W: 110, H: 95}, 150)
	return page
}

// inked makes the light of a page at the places in mm that a shape has, measured from the
// upper left corner, no lighter than so much of it.
func inked(p raster.Page, through float64, shape func(x, y float64) bool) {
	for i, l := range p.Light {
		if shape((float64(i%p.W)+0.5)*p.MM, (float64(i/p.W)+0.5)*p.MM) {
			p.Light[i] = uint8(float64(l) * through)
		}
	}
}

// darkShare returns how much of the places that a shape has is dark in a plane.
func darkShare(p skeleton.Plane, mm float64, shape func(x, y float64) bool) float64 {
	dark, all := 0, 0
	for i, g := range p.Pixels {
		if shape((float64(i%p.W)+0.5)*mm, (float64(i/p.W)+0.5)*mm) {
			if all++; skeleton.Paper-int(g) > 40 {
				dark++
			}
		}
	}
	return float64(dark) / float64(max(1, all))
}

// TestSinglePrintedLines tells a printed line down the margin, which runs off the sheet,
// from the side of a border that somebody drew 5 mm from its edges.
func TestSinglePrintedLines(t *testing.T) {
	for _, c := range []struct {
		name        string
		from, to    float64 // mm down the page
		loners      int
		least, most float64 // share of it that is left
	}{
		{"printed", 0, 95, 1, 0, 0.05},
		{"printed on a sheet that lies askew", 2.5, 93, 1, 0, 0.05},
		{"drawn", 5.5, 90, 0, 0.9, 1},
		{"drawn on a sheet cut off below", 14, 92, 0, 0.9, 1},
	} {
		page := blankSheet()
		print(page, rows{0, 8, 0.3, 0.6})
		line := func(x, y float64) bool { return math.Abs(x-25) < 0.3 && y > c.from && y < c.to }
		inked(page, 0.5, line)
		flat := skeleton.EvenLight(page, skeleton.CellMM)
		r := paper.Unruled(flat, page.MM)
		if r == nil || r.Kind != "lined" || r.Loners != c.loners {
			t.Errorf("%s: found %+v", c.name, r)
			continue
		}
		if left := darkShare(flat, page.MM, line); left < c.least || left > c.most {
			t.Errorf("%s: %.2f of the line is left", c.name, left)
		}
	}
}

// TestPrintEndsWithTheSheet lays a ruled sheet askew under a lid: its print ends within the
// picture, and one of its lines runs along its edge, which cuts it.
func TestPrintEndsWithTheSheet(t *testing.T) {
	page := blankSheet()
	lid := bytes.Clone(page.Light)
	print(page, rows{0, 5, 0.3, 0.5}, rows{90, 5, 0.3, 0.5})
	left := func(y float64) float64 { return 4.9 + 0.2*math.Sin(y/60) } // half of a line is left of it
	off := func(x, y float64) bool { return x < left(y) || x > 103-y/40 }
	for i := range page.Light {
		if x, y := float64(i%page.W)*page.MM, float64(i/page.W)*page.MM; off(x, y) {
			page.Light[i] = lid[i]
		}
	}
	flat := skeleton.EvenLight(page, skeleton.CellMM)
	if r := paper.Unruled(flat, page.MM); r == nil || r.Kind != "squared" {
		t.Fatalf("found %v", r)
	}
	for name, shape := range map[string]func(x, y float64) bool{
		"at the ends":    func(x, y float64) bool { return x > 94 },
		"along the edge": func(x, y float64) bool { return x < left(y)+0.5 },
		"in the middle":  func(x, y float64) bool { return x > 20 && x < 80 },
	} {
		if left := darkShare(flat, page.MM, shape); left > 0.001 {
			t.Errorf("%s %.4f of the picture is dark", name, left)
		}
	}
}

// TestDrawnAlongWithAWidePen draws along a printed line with a pen wider than what is
// measured across it: the print beyond the ends of that is taken out, too.
func TestDrawnAlongWithAWidePen(t *testing.T) {
	page := blankSheet()
	print(page, rows{0, 5, 0.3, 0.4}, rows{90, 5, 0.3, 0.4})
	along := func(x, y float64) bool { return math.Abs(x-30-0.2*math.Sin(y/60)) < 0.9 && y > 10 && y < 85 }
	inked(page, 0.1, along)
	flat := skeleton.EvenLight(page, skeleton.CellMM)
	if r := paper.Unruled(flat, page.MM); r == nil || r.Kind != "squared" {
		t.Fatalf("found %v", r)
	}
	beyond := func(x, y float64) bool { return math.Abs(x-30) < 1 && (y < 9 || y > 86) }
	if kept, left := darkShare(flat, page.MM, along), darkShare(flat, page.MM, beyond); kept < 0.95 || left > 0.01 {
		t.Errorf("%.2f of what was drawn is left, and %.3f of the print beyond it", kept, left)
	}
}
