package fit

import "weftplot/paths"

// The tolerance is shared: the points that represent the curve are chosen
// within a fiftieth of it, and the pieces use most of the rest. Lines reach
// less far than arcs and get finer points, so that ending on a point costs them
// little length.
const (
	sampled     = 1. / 50
	fitted      = 0.96
	lineSampled = 1. / 200
	lineFitted  = 0.985
)

// evenings is how often the tolerance is halved in the search for the least that
// takes no more pieces.
const evenings = 5

// fit returns the run as pieces, and how far they are from it at most, mm; what it
// returns when w is stopped is of no use.
func (r run) fit(w *work) (paths.Stroke, float64) {
	if !r.loose {
		return r.curves, 0
	}
	share, within := sampled, fitted
	if w.kind == lines {
		share, within = lineSampled, lineFitted
	}
	pts := r.curves.Flatten(w.tol * share)
	if len(pts) < 2 {
		return paths.Stroke{paths.Line{A: r.curves.Start(), B: r.curves.End()}}, w.tol
	}
	tol := w.tol * within
	if w.kind == arcs {
		if c, ok := circle(pts, tol); ok {
			return paths.Stroke{c}, w.tol
		}
	}
	best := chain(pts, tol, len(pts), w)
	if w.kind == lines { // chords meet with a kink in any case
		return best, w.tol
	}
	low, high := 0.0, 1.0
	for range evenings {
		middle := (low + high) / 2
		if len(best) < 2 {
			break
		}
		if even := chain(pts, tol*middle, len(best), w); even != nil {
			best, high = even, middle
		} else {
			low = middle
		}
	}
	return best, tol*high + w.tol*share
}

// kind is what a run is made of.
type kind int

const (
	arcs  kind = iota // arcs, and lines where a line is enough
	lines             // lines only
)

// piece returns the line or the arc from the first point to the last that stays
// within tol of all. A line that will be cut must leave room for the rounding of
// its parts.
func (w *work) piece(pts []paths.Point, tol float64) (paths.Curve, bool) {
	within := tol
	if g := w.grid; g != nil && pts[0].Dist(pts[len(pts)-1]) > g.Longest {
		within -= g.Off
	}
	line, ok := straight(pts, within)
	if ok || w.kind == lines {
		return line, ok
	}
	return bent(pts, tol)
}

// straight tries a line: the points must be near it and in order along it.
func straight(pts []paths.Point, tol float64) (paths.Curve, bool) {
	a, b := pts[0], pts[len(pts)-1]
	u := b.Sub(a).Unit()
	far := 0.0
	for _, p := range pts {
		along := p.Sub(a).Dot(u)
		if along < far-tol || (paths.Line{A: a, B: b}).Dist(p) > tol {
			return nil, false
		}
		far = max(far, along)
	}
	return paths.Line{A: a, B: b}, true
}
