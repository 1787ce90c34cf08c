package scan

import (
	"image"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/truth"
)

// printed prints lines of text on a page from the place x, y mm from its upper left corner
// on, in a font of other people's, points large.
func printed(t *testing.T, p *raster.Page, x, y, points float64, lines ...string) {
	t.Helper()
	f, err := opentype.Parse(goregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: points, DPI: 25.4 / p.MM})
	if err != nil {
		t.Fatal(err)
	}
	ink := &image.Gray{Pix: p.Light, Stride: p.W, Rect: image.Rect(0, 0, p.W, p.H)}
	for i, text := range lines {
		d := font.Drawer{Dst: ink, Src: image.Black, Face: face, Dot: fixed.P(int(x/p.MM), int((y+0.45*points*float64(i))/p.MM))}
		d.DrawString(text)
	}
}

// TestLetterheadIsLeftOut prints a letterhead over a drawing: it is left out and said, on
// wish it stays, and a drawing without one loses nothing.
func TestLetterheadIsLeftOut(t *testing.T) {
	drawing := sheet(paths.Polyline(pt(10, 5), pt(80, 5), pt(45, 55), pt(10, 5)), paths.Stroke{paths.Circle(pt(45, 22), 9)})
	drawing.W, drawing.H = 90, 110
	p := truth.Scan(0.8)
	for _, c := range []struct {
		name  string
		text  []string
		keep  bool
		print bool
	}{
		{"letterhead", []string{"The Harbour Weaving Room", "12 Mill Lane, open from nine to five"}, false, true},
		{"kept", []string{"The Harbour Weaving Room", "12 Mill Lane, open from nine to five"}, true, false},
		{"none", nil, false, false},
	} {
		if c.text == nil && !*thorough {
			continue // pages without print are traced everywhere
		}
		page, drawn := p.Of(drawing, 200)
		printed(t, &page, 15, 12, 11, c.text...)
		got, err := Trace(page, Options{KeepRulings: c.keep})
		if err != nil {
			t.Fatal(err)
		}
		s := truth.Compare(got.Strokes, drawn.Strokes)
		said := strings.Contains(strings.Join(got.Notes(), " "), "as print does")
		if said != c.print || (s.Spurious > 1) != c.keep || s.Missing > 0 {
			t.Errorf("%s: %d marks of print, said %v, %v", c.name, got.Print, said, s)
		}
	}
}
