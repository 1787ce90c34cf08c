package linework

import (
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan"
	"weftplot/paths/scan/raster"
)

func TestDesignOfPage(t *testing.T) {
	p := raster.Page{W: 200, H: 100, MM: 0.5}
	line := paths.Polyline(paths.Point{X: 10, Y: 10}, paths.Point{X: 90, Y: 40})
	d, err := DesignOf("gull.png", p, scan.Tracing{Strokes: []paths.Stroke{line}, LineMM: 0.7})
	if err != nil {
		t.Fatal(err)
	}
	if !d.HasSize || d.Page.Width() != 100 || d.Page.Height() != 50 || len(d.Layers) != 1 || d.Layers[0].Strokes[0].Width != 0.7 {
		t.Errorf("%+v", d)
	}
	if d, err := DesignOf("blank.png", p, scan.Tracing{}); err != nil || len(d.Layers) != 0 {
		t.Errorf("no lines: %+v, %v", d, err)
	}
	for name, far := range map[string]paths.Point{"away": {X: 300, Y: 40}, "nowhere": {X: math.NaN(), Y: 4}, "endless": {X: math.Inf(1)}} {
		if _, err := DesignOf(name, p, scan.Tracing{Strokes: []paths.Stroke{paths.Polyline(paths.Point{}, far)}}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestTraceToWidth states the pixels of a page a third of their size, and a
// third too large, and checks that the drawing comes out at its true width.
func TestTraceToWidth(t *testing.T) {
	for _, guess := range []float64{0.33, 1, 1.33} {
		p := raster.Page{W: 500, H: 400, MM: 0.2 * guess}
		p.Light = make([]uint8, p.W*p.H)
		for i := range p.Light {
			p.Light[i] = 240
		}
		for y := 100; y < 300; y++ {
			for x := 100; x < 400; x++ { // a box of lines of 4 pixels
				if x < 104 || x >= 396 || y < 104 || y >= 296 {
					p.Light[y*p.W+x] = 40
				}
			}
		}
		const width = 59.2 // 296 pixels from middle to middle, 0.2 mm each
		q, got, err := TraceToWidth(p, width, scan.Options{})
		if err != nil {
			t.Fatal(err)
		}
		b := paths.BoundsOf(got.Strokes)
		if math.Abs(b.Width()-width) > 1e-6 || math.Abs(q.MM-0.2) > 0.001 || math.Abs(b.Height()-39.2) > 0.2 {
			t.Errorf("guess of %v: %v x %v mm, %v mm a pixel", guess, b.Width(), b.Height(), q.MM)
		}
		if math.Abs(got.LineMM-0.8) > 0.15 {
			t.Errorf("guess of %v: the lines are %v mm wide, and are 0.8", guess, got.LineMM)
		}
	}
}

// TestDesignOfInks checks that each ink has a layer of its own, the one with the longest
// lines first.
func TestDesignOfInks(t *testing.T) {
	p := raster.Page{W: 200, H: 100, MM: 0.5}
	line := func(y, length float64) paths.Stroke {
		return paths.Polyline(paths.Point{X: 5, Y: y}, paths.Point{X: 5 + length, Y: y})
	}
	d, err := DesignOf("inks.png", p, scan.Tracing{
		Strokes: []paths.Stroke{line(10, 20), line(20, 30), line(30, 15)},
		Inks:    []string{"red", "black", "red"},
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Layers) != 2 || d.Layers[0].Name != "red" || len(d.Layers[0].Strokes) != 2 || d.Layers[1].Name != "black" {
		t.Errorf("%+v", d.Layers)
	}
}
