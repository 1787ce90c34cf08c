package scan

import (
	"math"
	"slices"

	"weftplot/paths/scan/skeleton"
)

// scale is the size at which the lines of a page are lines, and not grain.
type scale struct {
	// widthMM is the width of most of the lines, 0 where there are none.
	widthMM float64
	// grainMM is the deviation of the blur that evens out their grain, 0 where the
	// paper's tooth shows little.
	grainMM float64
}

// The blurs that are tried, as deviations in mm. A line drawn with crayon or charcoal
// falls apart into grains at the first, and is whole at one of the others.
var blurs = []float64{0.1, 0.2, 0.32, 0.5, 0.75}

// Of the thinned lines, ends and junctions for each width of length: up to calm, they
// are lines; from tangled on, they are grain, or a line drawn over many times.
const (
	calm    = 0.25
	tangled = 0.4
)

// scaleOf finds the scale to work at from the strokes: the finest at which thinning
// gives long lines. Choosing the scale by what is found at each is due to Lindeberg,
// "Edge detection and ridge detection with automatic scale selection", International
// Journal of Computer Vision 30 (1998). It works at no more than about 150 dots to the
// inch.
func scaleOf(flat skeleton.Plane, mm float64) scale {
	var best, fine scale
	least, first := math.Inf(1), 0.0
	for i, blur := range blurs {
		for (mm < 0.11 || mm < blur/2) && min(flat.W, flat.H) > 200 {
			flat, mm = flat.Halved(), 2*mm
		}
		width, tangle := thinned(flat, mm, blur)
		switch {
		case i == 0:
			fine, first = scale{widthMM: width}, tangle
			best, least = fine, tangle
		case width > 0 && tangle < least:
			best, least = scale{width, 0.7 * blur}, tangle
		}
		if i == 0 && tangle < tangled || least < calm {
			break
		}
	}
	if best.grainMM > 0 && least > first/2 {
		return fine // close lines, not grain: they are no simpler when blurred
	}
	return best
}

// thinned thins the ink of a page after a blur, and returns the mean width of the
// middle half of it in mm, and how many ends and junctions there are for each width of
// its length.
func thinned(flat skeleton.Plane, mm, blur float64) (widthMM, tangle float64) {
	soft := skeleton.Blur(flat, blur/mm)
	mask := skeleton.Threshold(soft, reachOf(mm, 3*blur), 0.2, 0.09)
	skeleton.Despeckle(mask, soft, 0, max(0.35, 6*blur*blur)/(mm*mm))
	skeleton.FillHoles(mask, soft, max(0.1, 4*blur*blur)/(mm*mm), skeleton.Paper)
	d := skeleton.DistancesIn(mask)
	skeleton.Thin(mask, skeleton.LuWang)
	var radii []float64
	for i, v := range mask.Pixels {
		if v != 0 {
			radii = append(radii, d.At(i)-0.25)
		}
	}
	if len(radii) == 0 {
		return 0, 0
	}
	skeleton.UnitWidth(mask)
	nodes := mask.Nodes()
	slices.Sort(radii)
	var sum float64
	middle := radii[len(radii)/4 : len(radii)-len(radii)/4]
	for _, r := range middle {
		sum += r
	}
	width := 2 * sum / float64(len(middle))
	return width * mm, float64(nodes) * width / float64(len(radii))
}

// reachOf returns how far around a pixel its light is compared, in pixels: 2 mm, or up
// to two widths of a line wider than 1.5 mm, and less than 120 pixels.
func reachOf(mm, widthMM float64) int {
	reach := max(2, min(2*widthMM, 4*widthMM-4))
	return min(120, max(3, int(math.Round(reach/mm))))
}
