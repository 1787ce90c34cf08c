package scan

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan/paper"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
)

// Options say how a page is traced. The zero value works.
type Options struct {
	// Deskew turns the drawing by its own long lines until they are square to
	// the sheet, and then squares those that are nearly so.
	Deskew bool
	// LineMM is the width of the drawn line in mm; 0 means that it is measured.
	LineMM float64
	// KeepRulings keeps what the sheet is printed with: rulings all over, such as
	// squares, and a letterhead.
	KeepRulings bool
}

// Trace finds the lines of a page.
//
// The light is evened out, ink is separated from paper, and the ink is thinned
// to lines a pixel wide. This is done twice: the first time to measure the
// width of the line, on which the later steps depend. The thinned lines become
// a graph; breaks in them are bridged, spurs removed, and junctions rebuilt
// from the lines that lead up to them. Then each line is moved to the middle of
// its ink and drawn with few lines, arcs and cubics.
//
// A page without lines gives no strokes and no error. A page that cannot be one
// of line work gives a [*fault.Error].
func Trace(p raster.Page, opt Options) (Tracing, error) {
	if err := check(p, opt); err != nil {
		return Tracing{}, err
	}
	if err := checkInk(p); err != nil {
		return Tracing{}, err
	}
	p, around := paper.WithoutSurroundings(p)
	flat, ruling := evened(p, skeleton.CellMM, opt)
	size := scaleOf(flat, p.MM)
	if cell := 2.5 * size.widthMM; cell > 1.5*skeleton.CellMM {
		// A line as wide as a cell passes for paper.
		flat, ruling = evened(p, cell, opt)
		size = scaleOf(flat, p.MM)
	}
	if size.widthMM == 0 {
		return Tracing{}, checkBare(flat)
	}
	width := size.widthMM / p.MM
	if opt.LineMM > 0 {
		width = opt.LineMM / p.MM
	}
	t := tracer{flat: skeleton.Blur(flat, size.grainMM/p.MM), mm: p.MM, width: max(2, width), grainy: size.grainMM > 0}
	if err := t.findAgain(opt.LineMM > 0); err != nil {
		return Tracing{}, err
	}
	t.out.Around = around
	if ruling != nil {
		t.out.Ruling, t.out.OddRuling = ruling.String(), !ruling.IsUsual()
	}
	t.out.dropHoles(float64(p.W)*p.MM, float64(p.H)*p.MM)
	if !opt.KeepRulings {
		t.out.dropPrint(float64(p.H) * p.MM)
	}
	if p.Tints != nil {
		t.out.divide(p, flat)
	}
	if opt.Deskew {
		t.out.deskew(paths.Point{X: float64(p.W) * p.MM / 2, Y: float64(p.H) * p.MM / 2})
	}
	return t.out, nil
}

// evened returns the page in even light, without its ruling.
func evened(p raster.Page, cellMM float64, opt Options) (skeleton.Plane, *paper.Ruling) {
	flat := skeleton.EvenLight(p, cellMM)
	if opt.KeepRulings {
		return flat, nil
	}
	return flat, paper.Unruled(flat, p.MM)
}

// maxPixels bounds a page: an A2 sheet at 600 dots to the inch.
const maxPixels = 150e6

func check(p raster.Page, opt Options) error {
	switch {
	case p.W < 1 || p.H < 1 || len(p.Light) != p.W*p.H || p.Tints != nil && len(p.Tints) != p.W*p.H:
		return fault.Bad("", "scan the drawing again", "the picture of %d by %d pixels comes with %d", p.W, p.H, len(p.Light))
	case p.W*p.H > maxPixels:
		return fault.Bad("", "scan at 300 dots to the inch", "the picture of %d by %d pixels is too large", p.W, p.H)
	case !(p.MM > 0) || math.IsInf(p.MM, 0):
		return fault.Bad("", "say how large the drawing is", "a pixel of %v mm is no size", p.MM)
	case !(opt.LineMM >= 0) || opt.LineMM > 20:
		return fault.Bad("", "measure the line on the drawing", "a line %v mm wide is no line", opt.LineMM)
	}
	return nil
}

// checkInk refuses a page that is dark all over.
func checkInk(p raster.Page) error {
	var sum int
	for _, g := range p.Light {
		sum += int(g)
	}
	if mean := sum / len(p.Light); mean < 40 {
		return fault.Bad("", "give it more light, or turn it from light on dark to dark on light", "the picture is nearly black")
	}
	return nil
}

// rough returns the error of a page whose ink does not form lines.
func rough(format string, args ...any) error {
	return fault.Bad("", "scan it softer or at fewer dots to the inch, from a clean glass", format, args...)
}

// checkBare refuses a page that has no lines and yet is not blank.
func checkBare(flat skeleton.Plane) error {
	n := 0
	for _, v := range flat.Pixels {
		if v < skeleton.Black {
			n++
		}
	}
	if share := float64(n) / float64(len(flat.Pixels)); share > 0.005 {
		return rough("%.1f %% of the picture is dark, but no lines", 100*share)
	}
	return nil
}

// mostInk is how much of a page of lines may be inked.
const mostInk = 0.3

// checkMask refuses a page with more ink than lines would have.
func checkMask(mask skeleton.Plane) error {
	n := 0
	for _, v := range mask.Pixels {
		if v == skeleton.Strong {
			n++
		}
	}
	if share := float64(n) / float64(len(mask.Pixels)); share > mostInk {
		return fault.Bad("", "scan a drawing of lines on plain paper", "%.0f %% of the picture is dark, too much for lines", 100*share)
	}
	return nil
}
