package fit

import (
	"math"

	"weftplot/paths"
)

// wholeCircle returns the circle that a stroke of one run with such points is, if it is
// one, and how far it is from it at most, mm.
func (w *work) wholeCircle(r run, pts []paths.Point) (c paths.Arc, off float64, ok bool) {
	curve := r.curves[0]
	if r.loose {
		if curve, ok = circle(pts, w.tol*(found-shortSampled)); !ok {
			return c, 0, false
		}
		off = w.tol * found
	}
	c, ok = curve.(paths.Arc)
	return c, off, ok && math.Abs(c.Sweep) >= 2*math.Pi-1e-9
}

// found is the part of the tolerance within which a curve must be a circle, so that there
// is some left for its numbers.
const found = 0.4

// shortCircle returns a circle in place of c, which is off the stroke by base mm, and how
// far the new one is off it at most: of those within the tolerance the one whose start, and
// whose centre as an offset from it, are the shortest numbers. Two circles are apart by the
// distance of their centres and the difference of their radii at most.
func (w *work) shortCircle(c paths.Arc, base float64) (paths.Stroke, []float64) {
	room, r := atEnds*w.tol-base, c.Radius()
	best, size, off := c, math.MaxInt, 0.0
	for _, start := range spotsBy(c.From, room) {
		at := start.at()
		for _, offset := range spotsBy(c.Centre.Sub(at), room) {
			centre := at.Add(offset.at())
			apart := centre.Dist(c.Centre) + math.Abs(centre.Dist(at)-r)
			if n := start.size + min(characters(start.x), characters(start.y)) + offset.size; apart <= room && n < size {
				best, size, off = paths.Arc{From: at, To: at, Centre: centre, Sweep: c.Sweep}, n, base+apart
			}
		}
	}
	if size == math.MaxInt {
		return nil, nil
	}
	return paths.Stroke{best}, []float64{off}
}
