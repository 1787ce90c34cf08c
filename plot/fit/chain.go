package fit

import "weftplot/paths"

// sides are how far beside the curve the joints of lines may lie, in
// tolerances: a chord of a bend that is off the curve by as much at its ends as
// in its middle, on the other side, is √2 times as long as one with its ends on
// the curve. Arcs gain nothing by that, because their error is a cubic; their
// joints lie on the curve.
var sides = [...]float64{0, -0.97, 0.97}

// sidesFor returns how many of the sides the joints of a kind may take.
func sidesFor(k kind) int {
	if k == lines {
		return len(sides)
	}
	return 1
}

// link is a piece between two points of the run, and the side of the last.
type link struct {
	end    int // index of the point; -1 where no piece ends
	before int // side of the piece before
	piece  piece
}

// chain covers the points with the fewest pieces within tol, with joints that
// may lie a little beside the curve. It returns nil when that takes more than
// most, or w is stopped. Its ends are exact.
//
// It adds one piece at a time, and keeps for each side the piece that reaches
// farthest. A piece that fits some points nearly always has a shorter one that
// fits the first of them, so reaching farthest is best.
func chain(pts []paths.Point, tol float64, most int, w *work) []link {
	last := len(pts) - 1
	beside := w.besides(pts, tol)
	levels := [][len(sides)]link{{{end: 0}, {end: -1}, {end: -1}}}
	for len(levels) <= most && !w.stopped() {
		front := levels[len(levels)-1]
		next := [len(sides)]link{{end: -1}, {end: -1}, {end: -1}}
		for from, l := range front[:sidesFor(w.kind)] {
			if l.end < 0 {
				continue
			}
			start := beside(l.end, from)
			if len(levels) == most { // one try tells whether the last piece can reach the end
				if _, ok := w.between(pts[l.end:], start, pts[last], tol); !ok {
					continue
				}
			}
			for to := range sidesFor(w.kind) {
				p, end := w.farthest(pts, l.end, start, func(i int) (paths.Point, bool) {
					return beside(i, to), i < last || to == 0
				}, tol)
				if end > max(l.end, next[to].end) {
					next[to] = link{end, from, p}
				}
			}
		}
		levels = append(levels, next)
		if next[0].end == last {
			return unwind(levels)
		}
	}
	return nil
}

// unwind goes back along the links from the end of the last level.
func unwind(levels [][len(sides)]link) []link {
	out := make([]link, len(levels)-1)
	side := 0
	for n := len(levels) - 1; n > 0; n-- {
		out[n-1] = levels[n][side]
		side = out[n-1].before
	}
	return out
}

// besides returns a function from the index of a point and a side to the place
// beside the curve there, on the grid if there is one: never farther off than tol,
// if the grid is not.
func (w *work) besides(pts []paths.Point, tol float64) func(i, side int) paths.Point {
	off := func(i, side int, by float64) paths.Point {
		if side == 0 {
			return pts[i]
		}
		ahead := pts[min(i+1, len(pts)-1)].Sub(pts[max(i-1, 0)])
		return pts[i].Add(ahead.Left().Unit().Mul(sides[side] * by))
	}
	if w.grid == nil {
		return func(i, side int) paths.Point { return off(i, side, tol) }
	}
	return func(i, side int) paths.Point {
		q := w.grid.Round(off(i, side, tol))
		if q.Dist(pts[i]) > tol {
			q = w.grid.Round(off(i, side, max(0, tol-w.grid.Off)))
		}
		return q
	}
}

// farthest returns the piece from the start beside point first that reaches
// farthest, and the point it reaches, first itself if there is none. It doubles
// the distance until the fit fails, and then bisects.
func (w *work) farthest(pts []paths.Point, first int, start paths.Point, end func(i int) (paths.Point, bool), tol float64) (piece, int) {
	var best piece
	span, good, bad := 1, 0, len(pts)-first
	for good+1 < bad {
		span = min(span, bad-1)
		p, ok := piece{}, false
		if stop, may := end(first + span); may {
			p, ok = w.between(pts[first:first+span+1], start, stop, tol)
		}
		if ok {
			best, good = p, span
		} else {
			bad = span
		}
		if bad == len(pts)-first {
			span = 2 * max(good, 1)
		} else {
			span = (good + bad) / 2
		}
	}
	return best, first + good
}

// between returns the piece along the points, with its ends at start and stop.
func (w *work) between(pts []paths.Point, start, stop paths.Point, tol float64) (piece, bool) {
	n := len(pts) - 1
	a, b := pts[0], pts[n]
	pts[0], pts[n] = start, stop
	p, ok := w.piece(pts, tol)
	pts[0], pts[n] = a, b
	return p, ok
}
