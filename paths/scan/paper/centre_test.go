package paper_test

import (
	"bytes"
	"math"
	"testing"

	"weftplot/paths/scan/paper"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
)

// TestRulingsLeaveNoPrint prints lines that turn off near the right side, more suddenly
// than a polynomial of the third degree does, and lines quite level with the pixels:
// nothing of them stays.
func TestRulingsLeaveNoPrint(t *testing.T) {
	const pitch, thick = 8, 0.3 // mm
	for i, c := range []struct{ slope, off float64 }{{0.006, 0.3}, {0.006, 0}, {0, 0}, {0.0005, 0}} {
		if !*thorough && i%3 != 0 {
			continue
		}
		p := raster.Page{W: 1000, H: 1400, MM: 0.127}
		p.Light = bytes.Repeat([]uint8{235}, p.W*p.H)
		wide := float64(p.W) * p.MM
		for i := range p.Light {
			x, y := float64(i%p.W)*p.MM, float64(i/p.W)*p.MM
			v := y - c.slope*x - c.off*max(0, 1-(wide-x)/25)
			d := math.Abs(v - pitch*math.Round(v/pitch))
			p.Light[i] -= uint8(80 * min(1, max(0, 0.5+(thick/2-d)/p.MM)))
		}
		flat := skeleton.EvenLight(p, skeleton.CellMM)
		if r := paper.Unruled(flat, p.MM); r == nil || r.Kind != "lined" {
			t.Fatalf("the sheet is %v", r)
		}
		left := 0
		for _, g := range flat.Pixels {
			if g < skeleton.Paper-25 {
				left++
			}
		}
		if most := len(flat.Pixels) / 2000; left > most {
			t.Errorf("slope %v, off by %v mm: %d pixels of the print stay, more than %d", c.slope, c.off, left, most)
		}
	}
}
