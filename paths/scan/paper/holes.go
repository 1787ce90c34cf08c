package paper

import (
	"math"
	"slices"

	"weftplot/paths"
)

// Punched holes are 6 mm wide, 80 mm apart and 12 mm from the edge (ISO 838:1974); in
// North America they are up to 8 mm wide, and 70 or 108 mm apart (common practice). The
// numbers are from memory.
var (
	holesApart        = []float64{80, 70, 108}
	holeWide          = [2]float64{4.5, 8.8}
	holeIn            = [2]float64{7, 17}
	holeOff, holeLine = 2.0, 2.0 // how far off the distance between them, and off one line
)

// hole is a closed stroke that is round and as large as a punched hole.
type hole struct {
	stroke int
	at     paths.Point
}

// Holes returns the numbers of the strokes that are punched holes: rings of that size
// beside a side of a page of w by h mm, two at least as far apart as a punch makes them.
func Holes(strokes []paths.Stroke, w, h float64) []int {
	var round []hole
	for i, s := range strokes {
		if at, ok := roundHole(s); ok {
			round = append(round, hole{i, at})
		}
	}
	var out []int
	for _, a := range round {
		for _, b := range round {
			if a.stroke != b.stroke && arePunched(a.at, b.at, w, h) {
				out = append(out, a.stroke)
				break
			}
		}
	}
	return out
}

// roundHole returns the middle of a stroke that is a ring as wide as a hole.
func roundHole(s paths.Stroke) (paths.Point, bool) {
	if !s.IsClosed() || len(s) == 0 {
		return paths.Point{}, false
	}
	box := s.Bounds()
	if min(box.Width(), box.Height()) < holeWide[0] || max(box.Width(), box.Height()) > holeWide[1] {
		return paths.Point{}, false
	}
	at, r := box.Centre(), (box.Width()+box.Height())/4
	for _, p := range s.Flatten(0.05) {
		if math.Abs(p.Dist(at)-r) > 0.12*r {
			return at, false
		}
	}
	return at, true
}

// arePunched reports whether two holes lie along one side of a page, as a punch makes
// them.
func arePunched(a, b paths.Point, w, h float64) bool {
	apart := func(d float64) bool {
		return slices.ContainsFunc(holesApart, func(mm float64) bool { return math.Abs(d-mm) < holeOff })
	}
	from := func(v, size float64) float64 { return min(v, size-v) }
	beside := func(d float64) bool { return d > holeIn[0] && d < holeIn[1] }
	switch dx, dy := math.Abs(a.X-b.X), math.Abs(a.Y-b.Y); {
	case dx < holeLine && beside(from(a.X, w)) && beside(from(b.X, w)):
		return apart(a.Dist(b))
	case dy < holeLine && beside(from(a.Y, h)) && beside(from(b.Y, h)):
		return apart(a.Dist(b))
	}
	return false
}
