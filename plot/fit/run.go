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
	low, high := 0.0, 1.0
	for range evenings {
		middle := (low + high) / 2
		if w.kind == lines || len(best) < 2 { // chords meet with a kink in any case
			break
		}
		if even := chain(pts, tol*middle, len(best), w); even != nil {
			best, high = even, middle
		} else {
			low = middle
		}
	}
	out := make(paths.Stroke, len(best))
	for i, l := range best {
		out[i] = l.piece.curve()
	}
	if w.kind == lines {
		return out, w.tol
	}
	return out, tol*high + w.tol*share
}

// kind is what a run is made of.
type kind int

const (
	arcs  kind = iota // arcs, and lines where a line is enough
	lines             // lines only
)

// A piece is an arc, or without a sweep the line from its start to its end.
type piece paths.Arc

// curve returns the piece as what it is.
func (p piece) curve() paths.Curve {
	if p.Sweep == 0 {
		return paths.Line{A: p.From, B: p.To}
	}
	return paths.Arc(p)
}

// piece returns the line or the arc from the first point to the last that stays
// within tol of all. A line that will be cut must leave room for the rounding of
// its parts.
func (w *work) piece(pts []paths.Point, tol float64) (piece, bool) {
	within := tol
	if g := w.grid; g != nil && pts[0].Dist(pts[len(pts)-1]) > g.Longest {
		within -= g.Off
	}
	if straight(pts, within) {
		return piece{From: pts[0], To: pts[len(pts)-1]}, true
	}
	if w.kind == lines {
		return piece{}, false
	}
	arc, ok := bent(pts, tol)
	return piece(arc), ok
}

// straight reports whether the line from the first point to the last will do: the points
// must be near it and in order along it.
func straight(pts []paths.Point, tol float64) bool {
	line := paths.Line{A: pts[0], B: pts[len(pts)-1]}
	if line.DistSq(pts[len(pts)/2]) > tol*tol { // most that fail do so there
		return false
	}
	u, far := line.B.Sub(line.A).Unit(), 0.0
	for _, p := range pts {
		along := p.Sub(line.A).Dot(u)
		if along < far-tol || line.DistSq(p) > tol*tol {
			return false
		}
		far = max(far, along)
	}
	return true
}
