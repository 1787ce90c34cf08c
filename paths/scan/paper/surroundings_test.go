package paper_test

import (
	"bytes"
	"math"
	"testing"

	"weftplot/paths/scan/paper"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/truth"
)

func TestSurroundings(t *testing.T) {
	clean, _ := truth.Photo(0.8).Of(truth.Corner(), 150)
	dark := func(inside func(x, y float64) bool, light float64) raster.Page {
		p := clean
		p.Light = bytes.Clone(clean.Light)
		for i, l := range p.Light {
			if inside(float64(i%p.W)*p.MM, float64(i/p.W)*p.MM) {
				p.Light[i] = uint8(float64(l) * light)
			}
		}
		return p
	}
	none := func(x, y float64) bool { return false }
	edge := func(x, y float64) bool { return x < 2 || y < 1.5+0.02*x }
	table := func(x, y float64) bool { return x < 2.5 || y > 47.5 }
	thumb := func(x, y float64) bool { return math.Hypot((x-72)/2, y-25) < 3.5 }
	for _, c := range []struct {
		name  string
		page  raster.Page
		share float64 // of the picture, about
		in    func(x, y float64) bool
	}{
		{"bare", clean, 0, none},
		{"a copy's edge", dark(edge, 0.2), 0.07, edge},
		{"a table", dark(table, 0.45), 0.085, table},
		{"a thumb", dark(thumb, 0.5), 0.008, thumb},
		{"a blot inside", dark(func(x, y float64) bool { return math.Hypot(x-30, y-25) < 4 }, 0.2), 0, none},
	} {
		got, share := paper.WithoutSurroundings(c.page)
		if share < 0.6*c.share || share > 1.5*c.share {
			t.Errorf("%s: %.3f of the picture, want about %.3f", c.name, share, c.share)
		}
		for i, l := range got.Light {
			x, y := float64(i%got.W)*got.MM, float64(i/got.W)*got.MM
			// The edge itself may lie a pixel in or out.
			if c.in(x, y) && float64(l) < 0.75*float64(clean.Light[i]) && clean.Light[i] > 100 {
				t.Errorf("%s: at %.1f, %.1f mm the light is %d", c.name, x, y, l)
				break
			}
		}
	}
}
