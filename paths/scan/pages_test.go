package scan

import (
	"errors"
	"math/rand/v2"
	"reflect"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/truth"
)

// blank is a page of one grey.
func blank(w, h int, grey uint8) raster.Page {
	p := raster.Page{W: w, H: h, Light: make([]uint8, w*h), MM: 25.4 / 300}
	for i := range p.Light {
		p.Light[i] = grey
	}
	return p
}

func TestPagesWithoutLines(t *testing.T) {
	for name, p := range map[string]raster.Page{
		"white": blank(600, 400, 255), "grey": blank(600, 400, 190), "a pixel": blank(1, 1, 255),
		"a column": blank(1, 500, 240), "a row": blank(500, 1, 240), "two by two": blank(2, 2, 200),
	} {
		got, err := Trace(p, Options{Deskew: true})
		if err != nil || len(got.Strokes) != 0 {
			t.Errorf("%s: %d strokes, %v", name, len(got.Strokes), err)
		}
	}
}

func TestPagesThatAreNone(t *testing.T) {
	noise := blank(900, 900, 0)
	random := rand.New(rand.NewPCG(1, 1))
	for i := range noise.Light {
		noise.Light[i] = uint8(random.IntN(256))
	}
	salted := func(share float64) raster.Page {
		p := blank(800, 800, 240)
		for i := range p.Light {
			if random.Float64() < share {
				p.Light[i] = uint8(random.IntN(120))
			}
		}
		return p
	}
	short := blank(10, 10, 255)
	short.Light = short.Light[:50]
	sizeless := blank(10, 10, 255)
	sizeless.MM = 0
	for name, p := range map[string]raster.Page{
		"black": blank(600, 400, 0), "nearly black": blank(600, 400, 20), "noise": noise, "a fifth salted": salted(0.2), "a tenth salted": salted(0.1),
		"short": short, "without a size": sizeless, "nothing": {},
	} {
		_, err := Trace(p, Options{})
		var bad *fault.Error
		if !errors.As(err, &bad) || bad.Do == "" {
			t.Errorf("%s: error %v, want a fault that says what to do", name, err)
		}
	}
}

func TestSamePageSameStrokes(t *testing.T) {
	page, _ := truth.Pencil(0.8).Of(truth.Corner(), 150)
	first, err := Trace(page, Options{Deskew: true})
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		again, _ := Trace(page, Options{Deskew: true})
		if !reflect.DeepEqual(first, again) {
			t.Fatal("tracing the same page again gives other strokes")
		}
	}
}

// sheet is a drawing of given strokes, 60 by 40 mm.
func sheet(strokes ...paths.Stroke) truth.Drawing {
	return truth.Drawing{Name: "sheet", W: 60, H: 40, Strokes: strokes}
}

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// flatScan is ink on a scanner, lying straight.
func flatScan(width float64) truth.Paper {
	p := truth.Scan(width)
	p.Turn = 0
	return p
}

// TestParallelLinesStayTwo draws lines two widths apart, middle to middle.
func TestParallelLinesStayTwo(t *testing.T) {
	for _, width := range []float64{0.5, 0.8, 1.2} {
		page, drawn := flatScan(width).Of(sheet(
			paths.Polyline(pt(10, 20), pt(50, 22)),
			paths.Polyline(pt(10, 20+2*width), pt(50, 22+2*width)),
		), 300)
		got, err := Trace(page, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if s := truth.Compare(got.Strokes, drawn.Strokes); len(got.Strokes) != 2 || s.P95 > 0.05 {
			t.Errorf("two lines %v mm wide are %d: %v", width, len(got.Strokes), s)
		}
	}
}

// TestLinesOffThePage lets lines run over the sides of the page.
func TestLinesOffThePage(t *testing.T) {
	page, drawn := flatScan(0.8).Of(sheet(
		paths.Polyline(pt(-5, 10), pt(65, 12)), paths.Polyline(pt(30, -5), pt(32, 45)), paths.Polyline(pt(0, 0), pt(0, 40)),
	), 300)
	got, err := Trace(page, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// 60 and 40 mm of the first two lines are on the page, and half of the
	// last.
	drawn.Strokes = drawn.Strokes[:2]
	s := truth.Compare(got.Strokes, drawn.Strokes)
	t.Log(s)
	if len(got.Strokes) > 3 || s.P95 > 0.05 || s.Mean > 0.03 {
		t.Errorf("%d strokes, %v", len(got.Strokes), s)
	}
	for _, s := range got.Strokes {
		if e, side := (paths.Rect{Max: pt(60, 40)}).Grow(0.5).Excess(s.Bounds()); e > 0 {
			t.Errorf("a stroke goes %v mm beyond the page's %s", e, side)
		}
	}
}
