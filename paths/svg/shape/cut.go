package shape

import (
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// maxClipWork bounds how often edges of clip paths are examined in one file.
const maxClipWork = 25_000_000

// errClipWork is the error of clips beyond maxClipWork.
var errClipWork = fmt.Errorf("the clip paths and masks take too long to apply: more than %d tests of edges", maxClipWork)

// An end of an edge within atCorner mm of a line counts as on it, so that a
// crossing at the corner of two edges is missed by neither.
const atCorner = 1e-9

// crossingCost is the cost of crossing a curve and an edge, in edges examined.
const crossingCost = 8

// Cut returns the pieces of s that show through c, as pieces of the same
// curves. It adds the edges that it examines to work, and returns an error when
// that passes a bound for the whole file.
func (c *Clip) Cut(s paths.Stroke, work *int) (pieces []paths.Stroke, err error) {
	if s.IsDot() {
		if c.Contains(s.Start()) {
			return []paths.Stroke{s}, nil
		}
		return nil, nil
	}
	var out pieceList
	for _, curve := range s {
		parts, err := c.shown(curve, work)
		if err != nil {
			return nil, err
		}
		for _, part := range parts {
			out.add(curve, part)
		}
		if len(out.cur) > 0 && out.cur.End() != curve.End() {
			out.end()
		}
	}
	out.end()
	pieces = out.list
	if n := len(pieces); n > 1 && s.IsClosed() && pieces[0].Start() == s.Start() && pieces[n-1].End() == s.End() {
		// The seam of a closed stroke is not an end.
		pieces[0] = append(pieces[n-1], pieces[0]...)
		pieces = pieces[:n-1]
	}
	return pieces, nil
}

// pieceList collects pieces of a stroke; cur is the one that may be continued.
type pieceList struct {
	list []paths.Stroke
	cur  paths.Stroke
}

// add puts a part of a curve on the current piece, or begins one with it.
func (l *pieceList) add(c paths.Curve, part interval) {
	if part.t0 > 0 || len(l.cur) == 0 {
		l.end()
	}
	l.cur = append(l.cur, paths.Sub(c, part.t0, part.t1))
	if part.t1 < 1 {
		l.end()
	}
}

// end ends the current piece, and drops it when it is shorter than the rounding
// of the cuts.
func (l *pieceList) end() {
	if len(l.cur) > 0 && l.cur.Length() > 1e-6 {
		l.list = append(l.list, l.cur)
	}
	l.cur = nil
}

// interval is a part of a curve by its parameter.
type interval struct{ t0, t1 float64 }

// shown returns the parts of a curve that show, in order and apart. It is split
// where it crosses an edge, and also beside each corner that is nearly on it: a
// line along an edge counts as inside, but no farther than the edge goes.
func (c *Clip) shown(curve paths.Curve, work *int) ([]interval, error) {
	ts := []float64{0, 1}
	c.Areas(func(a *Area) {
		box := curve.Bounds().Grow(2 * a.near)
		if !a.box.Overlaps(box) {
			return
		}
		a.eachNear(box.Min.Y, box.Max.Y, func(e edge) {
			if !box.Overlaps(paths.RectOf(e.a, e.b)) {
				return
			}
			*work += crossingCost
			for _, x := range paths.Crossings(curve, paths.Line{A: e.a, B: e.b}, atCorner) {
				ts = append(ts, x.S)
			}
			if box.Contains(e.a) { // every corner begins one edge
				if t, d := near.On(curve, e.a); d <= 2*a.near {
					ts = append(ts, t)
				}
			}
		})
	})
	if *work > maxClipWork {
		return nil, errClipWork
	}
	slices.Sort(ts)
	var out []interval
	for i := 1; i < len(ts); i++ {
		t0, t1 := ts[i-1], ts[i]
		if t1-t0 < 1e-12 || !c.Contains(curve.At((t0+t1)/2)) {
			continue
		}
		if n := len(out); n > 0 && t0-out[n-1].t1 < 1e-12 {
			out[n-1].t1 = t1
		} else {
			out = append(out, interval{t0, t1})
		}
	}
	return out, nil
}
