package fit

import (
	"math"
	"slices"

	"weftplot/paths"
)

// How the tolerance is shared: the points stand for the curve within shortSampled of it,
// finer than for pieces whose joints are chosen among them. The ends of pieces may be off
// by atEnds where the curve ends or turns, and by the part besides of what is left for
// pieces elsewhere.
const (
	shortSampled = 1. / 100
	shortFitted  = 0.998
	atEnds       = 0.995
	besides      = 0.97
)

// widest is the greatest sweep of an arc that is given by its radius; see package gcode.
const widest = 2 * math.Pi / 3

// Short is [ArcsUntil] for a program that is to be short, and that writes each number
// with as many decimals as it needs. The ends of pieces lie beside the curve, within tol
// of it, where their coordinates are short numbers, and so are the radii of arcs up to a
// third of a circle. Of all chains of such pieces that were looked at it returns the one
// whose text is shortest. Where none was found it returns what ArcsUntil does.
//
// The ends of a stroke are moved by where they are alone, so that strokes that meet in a
// point still do. The cost is two to three times that of Arcs.
func Short(stop func() error, s paths.Stroke, tol float64) (out paths.Stroke, off []float64, err error) {
	w := work{tol: max(tol, finest), kind: arcs, asker: asker{stop: stop}}
	if s.Length() > 8*w.tol {
		if out, off = w.short(s); out != nil || w.err != nil {
			return out, off, w.err
		}
	}
	return ArcsUntil(stop, s, tol)
}

// short returns nil where no chain was found.
func (w *work) short(s paths.Stroke) (paths.Stroke, []float64) {
	cleaned := w.tol * shortSampled
	s = clean(s, cleaned)
	if len(s) == 0 {
		return nil, nil
	}
	s, _ = join(s, make([]float64, len(s)))
	tol := w.tol*shortFitted - cleaned
	runs := split(s, w.tol, arcs)
	begin := spotsBy(s.Start(), atEnds*w.tol)[0]
	front := []*way{{to: begin}}
	for i, r := range runs {
		pts := r.curves.Flatten(w.tol * shortSampled)
		if len(runs) == 1 {
			if c, base, ok := w.wholeCircle(r, pts); ok {
				return w.shortCircle(c, base)
			}
		}
		ends := spotsBy(r.curves.End(), atEnds*w.tol)
		if i == len(runs)-1 {
			if !s.IsClosed() { // what is open stays so
				ends = slices.DeleteFunc(ends, func(e spot) bool { return e.x == begin.x && e.y == begin.y })
			}
			ends = ends[:min(1, len(ends))]
		}
		if front = w.cross(r, pts, front, ends, tol); len(front) == 0 {
			return nil, nil
		}
	}
	return front[0].unwind()
}

// cross goes on from each way of the front over a run, to each of the spots at its end.
// The shortest way is the first of those it returns.
func (w *work) cross(r run, pts []paths.Point, front []*way, ends []spot, tol float64) []*way {
	var out []*way
	for _, from := range front {
		for _, end := range ends {
			out = keep(out, w.over(r, pts, from, end, tol))
		}
	}
	if _, isLine := r.curves[0].(paths.Line); (r.loose || !isLine) && len(pts) > 2 {
		for _, v := range w.search(pts, front, ends, tol) {
			out = keep(out, v)
		}
	}
	slices.SortStableFunc(out, func(a, b *way) int { return a.size - b.size })
	return out
}

// centreWords are the characters that a centre takes, about.
const centreWords = 14

// over goes over a run in one piece where that is what it is made of, or where it is so
// short that nothing has to be drawn; nil where it cannot.
func (w *work) over(r run, pts []paths.Point, from *way, end spot, tol float64) *way {
	a, b := from.to.at(), end.at()
	if a == b && !slices.ContainsFunc(pts, func(p paths.Point) bool { return p.Dist(a) > tol }) {
		return &way{to: end, size: from.size, before: from}
	}
	if r.loose {
		return nil
	}
	switch c := r.curves[0].(type) {
	case paths.Line:
		if a != b {
			return from.along(piece{From: a, To: b}, end, 0, w.tol)
		}
	case paths.Arc:
		if math.Abs(c.Sweep) <= widest {
			return nil
		}
		moved, ok := paths.ArcBulge(a, b, math.Tan(c.Sweep/4)).(paths.Arc)
		if math.Abs(c.Sweep) >= 2*math.Pi-1e-9 {
			moved, ok = paths.Arc{From: a, To: a, Centre: c.Centre, Sweep: c.Sweep}, a == b
		}
		between := replaced(pts, a, b)
		for part := 0.25; ok && part <= 1; part += 0.25 { // what is left, the centre may use
			if follows(moved, between, part*tol) {
				return from.along(piece(moved), end, centreWords, w.tol-(1-part)*tol)
			}
		}
	}
	return nil
}

// replaced returns points with another first and last one.
func replaced(pts []paths.Point, first, last paths.Point) []paths.Point {
	out := slices.Clone(pts)
	out[0], out[len(out)-1] = first, last
	return out
}
