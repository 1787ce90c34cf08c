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
	shortFitted  = 0.985
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
// point still do. The cost is ten to twenty times that of Arcs.
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
	if c, base, ok := w.wholeCircle(runs); ok {
		return w.shortCircle(c, base)
	}
	begin := spotsBy(s.Start(), atEnds*w.tol)[0]
	front := []*way{{to: begin}}
	for i, r := range runs {
		ends := spotsBy(r.curves.End(), atEnds*w.tol)
		if i == len(runs)-1 {
			if !s.IsClosed() { // what is open stays so
				ends = slices.DeleteFunc(ends, func(e spot) bool { return e.x == begin.x && e.y == begin.y })
			}
			ends = ends[:min(1, len(ends))]
		}
		if front = w.cross(r, front, ends, tol); len(front) == 0 {
			return nil, nil
		}
	}
	return front[0].unwind()
}

// A way is a chain of pieces that ends at a spot.
type way struct {
	to     spot
	size   int         // characters of its text
	curve  paths.Curve // the last piece, nil where none was needed
	off    float64     // how far that is from the stroke at most, mm
	before *way
}

// unwind returns the pieces of a way, and how far each is off; nil where there are none.
func (v *way) unwind() (out paths.Stroke, off []float64) {
	for ; v != nil; v = v.before {
		if v.curve != nil {
			out, off = append(out, v.curve), append(off, v.off)
		}
	}
	slices.Reverse(out)
	slices.Reverse(off)
	return out, off
}

// along returns the way that goes on along a curve to a spot, with extra characters for
// words beside its end; it is off the stroke by so many mm at most.
func (v *way) along(c paths.Curve, to spot, extra int, off float64) *way {
	size := v.size + 1 + extra // the end of the line
	if to.x != v.to.x {
		size += 1 + characters(to.x)
	}
	if to.y != v.to.y {
		size += 1 + characters(to.y)
	}
	if motion(c) != motion(v.curve) {
		size += len("G1")
	}
	return &way{to: to, size: size, curve: c, off: off, before: v}
}

// motion tells the three words of motion apart: a line and the two senses of an arc.
func motion(c paths.Curve) float64 {
	if a, ok := c.(paths.Arc); ok {
		return math.Copysign(1, a.Sweep)
	}
	return 0
}

// keep adds a way to those that end at the corner, of which it keeps one for each spot.
func keep(out []*way, v *way) []*way {
	if v == nil {
		return out
	}
	for k, other := range out {
		if other.to.x == v.to.x && other.to.y == v.to.y {
			if v.size < other.size {
				out[k] = v
			}
			return out
		}
	}
	return append(out, v)
}

// cross goes on from each way of the front over a run, to each of the spots at its end.
// The shortest way is the first of those it returns.
func (w *work) cross(r run, front []*way, ends []spot, tol float64) []*way {
	var out []*way
	pts := r.curves.Flatten(w.tol * shortSampled)
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
			return from.along(paths.Line{A: a, B: b}, end, 0, w.tol)
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
				return from.along(moved, end, centreWords, w.tol-(1-part)*tol)
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

// search looks for short ways along the points of a run. Spots are taken in their order
// along it. A way that is no shorter than one that has come as far or farther is given
// up; so few are left at any place. From each, pieces are tried from as far as they reach
// back to half of that, and only to spots with shorter numbers than the ones before.
func (w *work) search(pts []paths.Point, front []*way, ends []spot, tol float64) []*way {
	spots := spotsAlong(pts, besides*tol)
	last := len(spots)
	for _, e := range ends {
		e.chord = len(pts) - 2
		spots = append(spots, e)
	}
	best := make([]*way, len(spots))
	try := func(from *way, first int) {
		w.reach(pts, spots, from, first, tol, func(k int, v *way) {
			if best[k] == nil || v.size < best[k].size {
				best[k] = v
			}
		})
	}
	for _, from := range front {
		try(from, 0)
	}
	for k := range last {
		if best[k] == nil || w.stopped() || overtaken(best, k) {
			continue
		}
		try(best[k], spots[k].chord)
	}
	return best[last:]
}

// overtaken reports whether a way to a later spot is as short as that to spot k.
func overtaken(best []*way, k int) bool {
	return slices.ContainsFunc(best[k+1:], func(v *way) bool { return v != nil && v.size+2 <= best[k].size })
}

// reach tries pieces from a way at the chord first, and tells found of those there are.
func (w *work) reach(pts []paths.Point, spots []spot, from *way, first int, tol float64, found func(k int, v *way)) {
	start, foot := from.to.at(), from.to.footWithin(tol)
	_, far := w.farthest(pts, first, start, func(i int) (paths.Point, bool) { return pts[i], true }, tol)
	far = max(far, first+1)
	near := first + (far-first)/2
	high, _ := slices.BinarySearchFunc(spots, far+1+(far-first)/8, func(s spot, chord int) int { return s.chord - chord })
	least := 1000
	var piece []paths.Point
	for k := high - 1; k >= 0 && spots[k].chord >= first; k-- {
		s := spots[k]
		if s.chord < near && least < 1000 {
			return
		}
		if s.size >= least+1 || s.x == from.to.x && s.y == from.to.y {
			continue
		}
		if s.chord == first && pts[first+1].Sub(pts[first]).Dot(s.foot.Sub(foot)) <= 0 {
			continue // behind
		}
		piece = append(append(piece[:0], start, foot), pts[first+1:s.chord+1]...)
		piece = append(piece, s.footWithin(tol), s.at())
		if c, extra, ok := shortPiece(piece, tol); ok {
			found(k, from.along(c, s, extra, w.tol))
			least = min(least, s.size)
		}
	}
}

// shortPiece returns the line or the arc from the first point to the last that stays
// within tol of all, and the characters of its radius, of which it has as few as may be.
func shortPiece(pts []paths.Point, tol float64) (c paths.Curve, extra int, ok bool) {
	if straight(pts, tol) {
		return paths.Line{A: pts[0], B: pts[len(pts)-1]}, 0, true
	}
	low, high, ok := heights(pts, tol)
	if !ok || low <= 0 && high >= 0 {
		return nil, 0, false
	}
	side := math.Copysign(1, low) // on which the arc is high, 1 for the left of its chord
	if side < 0 {
		low, high = -high, -low
	}
	a, b := pts[0], pts[len(pts)-1]
	half := a.Dist(b) / 2
	of := func(height float64) float64 { return (half*half + height*height) / (2 * height) }
	least, most := of(min(high, half)), of(low)
	for _, step := range steps {
		r := math.Round(of((low+high)/2)*1000/step) * step / 1000
		if r < least {
			r = math.Ceil(least*1000/step) * step / 1000
		} else if r > most {
			r = math.Floor(most*1000/step) * step / 1000
		}
		if r < least || r <= half || 2*math.Asin(half/r) > widest {
			continue
		}
		arc, ok := paths.BulgedArc(a, b, -side*math.Tan(math.Asin(half/r)/2))
		if ok && follows(arc, pts, tol) {
			return arc, 1 + characters(int64(math.Round(r*1000))), true
		}
	}
	return nil, 0, false
}
