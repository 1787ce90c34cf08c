package gcode

import (
	"math"

	"weftplot/paths"
)

// widest is the greatest sweep that is written by its radius. NISTIR 6556, 3.5.3.2,
// calls arcs from tiny to 165 degrees good practice, and half and full circles bad,
// because an error of the end moves the middle of the arc by far more: an end that is
// off by d along the chord moves it by d/2·tan(sweep/2). That is 3.8·d at 165 degrees,
// and less than d up to 120.
const widest = 2 * math.Pi / 3

// radius returns the R word for the arc a from the pen's rounded position to a rounded
// end: the one with the fewest decimals whose arc comes back as it should. There is
// none for an arc that is better written by its centre.
//
// The centre of such an arc is as far from both ends, so the rule on radii is kept
// exactly; how far the arc then strays is judged along all of it.
func (w *writer) radius(a paths.Arc, to [2]int64) (string, bool) {
	from, end := paths.Point{X: mm(w.at[0]), Y: mm(w.at[1])}, paths.Point{X: mm(to[0]), Y: mm(to[1])}
	if from == end || math.Abs(a.Sweep) > widest {
		return "", false
	}
	low, high := w.radii(a, from, end)
	for decimals := 0; decimals <= finest; decimals++ {
		step := math.Pow10(finest - decimals) // in ten-thousandths of a mm
		middle := math.Round(a.Radius() * 1e4 / step)
		for k := 0.0; k <= tries; k++ {
			for _, n := range []float64{middle - k, middle + k} {
				r := n * step / 1e4
				if low <= r && r <= high && r < 1e6 && w.spans(a, from, end, r) {
					return "R" + w.number(int64(n*step), 4), true
				}
			}
		}
	}
	return "", false
}

// radii returns which radii can keep the height of an arc over its chord within the
// budget of that of a.
func (w *writer) radii(a paths.Arc, from, end paths.Point) (low, high float64) {
	half := from.Dist(end) / 2
	of := func(height float64) float64 { return (half*half + height*height) / (2 * height) }
	height := half * math.Tan(math.Abs(a.Sweep)/4)
	return of(min(height+w.budget, half*math.Tan(widest/4))), of(max(height-w.budget, height/100))
}

// spans reports whether the arc of a radius from one point to another stays within the
// budget of a, all along it.
func (w *writer) spans(a paths.Arc, from, end paths.Point, r float64) bool {
	b, ok := byRadius(from, end, r, a.Sweep > 0)
	return ok && w.near(a, b) && w.near(b, a)
}

// byRadius returns the arc of less than half a circle from one point to another,
// anticlockwise or not; ok is false where the radius does not reach.
func byRadius(from, end paths.Point, r float64, ccw bool) (arc paths.Arc, ok bool) {
	chord := end.Sub(from)
	half := chord.Len() / 2
	if half == 0 || !(r > half) {
		return paths.Arc{}, false
	}
	h := math.Sqrt((r - half) * (r + half))
	if !ccw {
		h = -h
	}
	centre := from.Lerp(end, 0.5).Add(chord.Left().Mul(h / (2 * half)))
	return paths.Arc{From: from, To: end, Centre: centre, Sweep: sweepBetween(from, end, centre, ccw)}, true
}
