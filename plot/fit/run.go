package fit

import (
	"math"

	"weftplot/paths"
)

// The tolerance is shared out: the points that stand for the curve are chosen
// within a fiftieth of it, and the pieces keep within most of the rest.
const (
	sampled = 1. / 50
	fitted  = 0.96
)

// evenings is how often the tolerance is halved in the search for the least that
// takes no more pieces.
const evenings = 5

// fit returns the run as lines and arcs.
func (r run) fit(tol float64) paths.Stroke {
	if !r.loose {
		return r.curves
	}
	pts := r.curves.Flatten(tol * sampled)
	if len(pts) < 2 {
		return paths.Stroke{paths.Line{A: r.curves.Start(), B: r.curves.End()}}
	}
	if c, ok := circle(pts, tol*fitted); ok {
		return paths.Stroke{c}
	}
	best := greedy(pts, tol*fitted, math.MaxInt)
	if len(best) < 2 {
		return best
	}
	low, high := 0.0, 1.0
	for range evenings {
		middle := (low + high) / 2
		if even := greedy(pts, tol*fitted*middle, len(best)); even != nil {
			best, high = even, middle
		} else {
			low = middle
		}
	}
	return best
}

// greedy goes along the points by the pieces that reach farthest, and gives up
// with nil when it takes more than so many.
func greedy(pts []paths.Point, tol float64, most int) paths.Stroke {
	var out paths.Stroke
	for i := 0; i < len(pts)-1; {
		if len(out) == most {
			return nil
		}
		c, n := farthest(pts[i:], tol)
		out = append(out, c)
		i += n
	}
	return out
}

// farthest returns the piece from the first point that reaches farthest, and
// the point it reaches. It looks twice as far until that fails, and then halves
// its way back.
func farthest(pts []paths.Point, tol float64) (paths.Curve, int) {
	best, good := paths.Curve(paths.Line{A: pts[0], B: pts[1]}), 1
	bad := len(pts)
	for try := 2; good < len(pts)-1 && good+1 < bad; {
		try = min(try, bad-1)
		if c, ok := piece(pts[:try+1], tol); ok {
			best, good = c, try
		} else {
			bad = try
		}
		if bad == len(pts) {
			try = 2 * good
		} else {
			try = (good + bad) / 2
		}
	}
	return best, good
}

// piece returns the line or the arc from the first point to the last that stays
// within tol of all.
func piece(pts []paths.Point, tol float64) (paths.Curve, bool) {
	if line, ok := straight(pts, tol); ok {
		return line, true
	}
	return bent(pts, tol)
}

// straight tries a line: the points are near it and go along it.
func straight(pts []paths.Point, tol float64) (paths.Curve, bool) {
	a, b := pts[0], pts[len(pts)-1]
	u := b.Sub(a).Unit()
	far := 0.0
	for _, p := range pts {
		along := p.Sub(a).Dot(u)
		if along < far-tol || toSegment(p, a, b) > tol {
			return nil, false
		}
		far = max(far, along)
	}
	return paths.Line{A: a, B: b}, true
}
