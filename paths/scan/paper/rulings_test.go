package paper_test

import (
	"bytes"
	"flag"
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/paper"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
	"weftplot/paths/scan/truth"
)

const degree = math.Pi / 180

var thorough = flag.Bool("thorough", false, "try every kind of print and every drawing, and not only those that find the most")

// rows are printed lines: their angle in degrees, pitch and width in mm, and the share
// of the light that they let through.
type rows struct{ angle, pitch, width, through float64 }

// print prints rows of lines on a page, as a bent sheet would show them.
func print(p raster.Page, list ...rows) {
	for _, r := range list {
		sin, cos := math.Sincos(r.angle * degree)
		for i, l := range p.Light {
			x, y := float64(i%p.W)*p.MM, float64(i/p.W)*p.MM
			v := -x*sin + y*cos + 0.2*math.Sin((x*cos+y*sin)/60)
			off := math.Abs(v-r.pitch*math.Round(v/r.pitch)) / p.MM
			// As wide as its ink, and blurred by a pixel.
			bell := math.Exp(-off * off / (2 + r.width*r.width/p.MM/p.MM/2))
			if cover := min(1, r.width/p.MM/1.5) * bell; cover > 0.01 {
				p.Light[i] = uint8(float64(l) * (1 - cover*(1-r.through)))
			}
		}
	}
}

// stipple prints dots at the corners of squares.
func stipple(p raster.Page, angle, pitch, size, through float64) {
	sin, cos := math.Sincos(angle * degree)
	for i, l := range p.Light {
		x, y := float64(i%p.W)*p.MM, float64(i/p.W)*p.MM
		u, v := x*cos+y*sin, -x*sin+y*cos
		off := math.Hypot(u-pitch*math.Round(u/pitch), v-pitch*math.Round(v/pitch)) / p.MM
		if cover := min(1, max(0, size/2/p.MM+0.5-off)); cover > 0 {
			p.Light[i] = uint8(float64(l) * (1 - cover*(1-through)))
		}
	}
}

// sheet is a drawing in the middle of a sheet that it does not fill.
func sheet() truth.Drawing {
	d := truth.Fit("sheet", truth.Corner().Strokes, 190, 140, 35)
	return d
}

func TestRulingsAreTakenOut(t *testing.T) {
	const blue, pale = 0.6, 0.8 // what a light blue print lets through of red light
	clean, _ := truth.Scan(0.8).Of(sheet(), 200)
	bare := skeleton.EvenLight(clean, skeleton.CellMM)
	for _, c := range []struct {
		name, kind string
		pitch      float64
		long       bool // only where the run is thorough
		print      func(raster.Page)
	}{
		{"lined", "lined", 8, false, func(p raster.Page) { print(p, rows{0.7, 8, 0.25, blue}) }},
		{"squared", "squared", 5, true, func(p raster.Page) { print(p, rows{0.7, 5, 0.2, blue}, rows{90.7, 5, 0.2, blue}) }},
		{"pale", "squared", 5, true, func(p raster.Page) { print(p, rows{-1.2, 5, 0.2, pale}, rows{88.8, 5, 0.2, pale}) }},
		{"graph", "squared", 1, true, func(p raster.Page) {
			print(p, rows{0.7, 1, 0.12, blue}, rows{90.7, 1, 0.12, blue}, rows{0.7, 10, 0.3, blue}, rows{90.7, 10, 0.3, blue})
		}},
		{"isometric", "isometric", 4.33, true, func(p raster.Page) {
			print(p, rows{30.7, 4.33, 0.2, blue}, rows{90.7, 4.33, 0.2, blue}, rows{150.7, 4.33, 0.2, blue})
		}},
		{"dotted", "dotted", 5, false, func(p raster.Page) { stipple(p, 0.7, 5, 0.5, blue) }},
	} {
		if c.long && !*thorough {
			continue
		}
		page := clean
		page.Light = bytes.Clone(clean.Light)
		c.print(page)
		flat := skeleton.EvenLight(page, skeleton.CellMM)
		r := paper.Unruled(flat, page.MM)
		if r == nil {
			t.Errorf("%s: no ruling was found", c.name)
			continue
		}
		if r.Kind != c.kind || math.Abs(r.PitchMM-c.pitch) > 0.01*c.pitch {
			t.Errorf("%s: found %v, %.3f mm", c.name, r, r.PitchMM)
		}
		// What is left where there is no ink, and what is lost where there is.
		left, lost, ink := 0, 0, 0
		for i, g := range bare.Pixels {
			switch was, is := skeleton.Paper-int(g), skeleton.Paper-int(flat.Pixels[i]); {
			case was > 60:
				ink++
				if is < was/2 {
					lost++
				}
			case was < 20 && is > 40:
				left++
			}
		}
		if 1000*left > len(flat.Pixels) || 25*lost > ink {
			t.Errorf("%s: %d pixels of %d of the print are left, %d of %d of the ink lost", c.name, left, len(flat.Pixels), lost, ink)
		}
	}
}

// TestDrawnLinesAreNoRuling draws what is even, and not printed.
func TestDrawnLinesAreNoRuling(t *testing.T) {
	lattice := truth.Drawing{Name: "lattice", W: 190, H: 140}
	for x := 40.0; x < 150; x += 8 {
		lattice.Strokes = append(lattice.Strokes, paths.Polyline(paths.Point{X: x, Y: 30}, paths.Point{X: x, Y: 110}))
	}
	for y := 30.0; y <= 110; y += 8 {
		lattice.Strokes = append(lattice.Strokes, paths.Polyline(paths.Point{X: 40, Y: y}, paths.Point{X: 150, Y: y}))
	}
	drawings := []truth.Drawing{lattice}
	if *thorough {
		drawings = append(drawings, truth.Rug(), truth.Harbour())
	}
	for _, d := range drawings {
		page, _ := truth.Scan(0.6).Of(d, 150)
		flat := skeleton.EvenLight(page, skeleton.CellMM)
		was := bytes.Clone(flat.Pixels)
		if r := paper.Unruled(flat, page.MM); r != nil || !bytes.Equal(was, flat.Pixels) {
			t.Errorf("%s is taken for %v", d.Name, r)
		}
	}
}

// TestUsualRulings takes rulings at their true size, and at the size that a made-up
// resolution gives them.
func TestUsualRulings(t *testing.T) {
	for _, c := range []struct {
		r     paper.Ruling
		usual bool
	}{
		{paper.Ruling{Kind: "squared", PitchMM: 5.03}, true},
		{paper.Ruling{Kind: "squared", PitchMM: 6.35}, true},
		{paper.Ruling{Kind: "dotted", PitchMM: 4.98}, true},
		{paper.Ruling{Kind: "squared", PitchMM: 0.8 * 7}, false},
		{paper.Ruling{Kind: "squared", PitchMM: 0.7 * 5}, false},
		{paper.Ruling{Kind: "isometric", PitchMM: 14}, false},
		{paper.Ruling{Kind: "lined", PitchMM: 8.7}, true},
		{paper.Ruling{Kind: "lined", PitchMM: 0.5 * 8}, false},
	} {
		if c.r.IsUsual() != c.usual {
			t.Errorf("%v: usual is %v", c.r, !c.usual)
		}
	}
}

// TestDrawnAlongARuling draws along two lines of dark print, one of them the last at the
// side of the page: what is drawn stays.
func TestDrawnAlongARuling(t *testing.T) {
	clean, _ := truth.Scan(0.8).Of(sheet(), 150)
	page := clean
	page.Light = bytes.Clone(clean.Light)
	print(page, rows{0, 5, 0.3, 0.35}, rows{90, 5, 0.3, 0.35})
	drawn := func(i int) bool {
		x, y := float64(i%page.W)*page.MM, float64(i/page.W)*page.MM
		v := y + 0.2*math.Sin(x/60)
		return x > 15 && x < 175 && (math.Abs(v-5) < 0.3 || math.Abs(v-60) < 0.3)
	}
	for i := range page.Light {
		if drawn(i) {
			page.Light[i] = uint8(float64(page.Light[i]) * 0.45)
		}
	}
	flat := skeleton.EvenLight(page, skeleton.CellMM)
	if r := paper.Unruled(flat, page.MM); r == nil || r.Kind != "squared" {
		t.Fatalf("the ruling is %v", r)
	}
	kept, all := 0, 0
	for i, g := range flat.Pixels {
		if drawn(i) {
			all++
			if skeleton.Paper-int(g) > 60 {
				kept++
			}
		}
	}
	if 10*kept < 8*all {
		t.Errorf("%d pixels of %d drawn along the print are left", kept, all)
	}
}
