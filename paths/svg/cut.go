package svg

import (
	"slices"

	"weftplot/paths"
)

// maxClipWork bounds how often an edge of a clip path is looked at in one file.
const maxClipWork = 25_000_000

// atCorner is how near in mm an end of an edge counts as on a line, so that a
// crossing at the corner of two edges is missed by neither.
const atCorner = 1e-9

// crossingCost is what crossing a curve and an edge counts, in looks at edges.
const crossingCost = 4

// cutter cuts strokes where they cross the edges of a clip, and keeps what
// shows. The pieces are pieces of the same curves.
type cutter struct {
	r    *reader
	clip *clip
	at   *node
	cuts int
}

// stroke returns the pieces of s that show.
func (k *cutter) stroke(s paths.Stroke) []paths.Stroke {
	if s.IsDot() {
		if k.clip.contains(s.Start()) {
			return []paths.Stroke{s}
		}
		return nil
	}
	var out []paths.Stroke
	var cur paths.Stroke
	whole := true
	end := func() {
		if len(cur) > 0 && cur.Length() > 1e-6 {
			out = append(out, cur)
		}
		cur = nil
	}
	for _, c := range s {
		for _, part := range k.shown(c) {
			if part.t0 > 0 || len(cur) == 0 {
				end()
			}
			whole = whole && part.t0 == 0 && part.t1 == 1
			cur = append(cur, paths.Sub(c, part.t0, part.t1))
			if part.t1 < 1 {
				end()
			}
		}
		if len(cur) > 0 && cur.End() != c.End() {
			end()
		}
	}
	end()
	if n := len(out); n > 1 && s.IsClosed() && out[0].Start() == s.Start() && out[n-1].End() == s.End() {
		// The seam of a closed stroke is no end.
		out[0] = append(out[n-1], out[0]...)
		out = out[:n-1]
	}
	if k.r.left -= len(out); k.r.left < 0 {
		k.r.halt(k.at, "the drawing has more than %d pieces of line, the most that are read", k.r.opt.MaxCurves)
	}
	if !whole || len(out) != 1 {
		k.cuts++
	}
	return out
}

// interval is a part of a curve by its parameter.
type interval struct{ t0, t1 float64 }

// shown returns the parts of c that show, in order and apart.
func (k *cutter) shown(c paths.Curve) []interval {
	if k.r.stop != nil {
		return nil
	}
	ts := []float64{0, 1}
	box := c.Bounds()
	k.clip.edges(func(a *area) {
		if reach := a.box.Grow(a.near); !overlap(reach, box) {
			return
		}
		a.eachNear(box.Min.Y, box.Max.Y, func(e edge) {
			if !overlap(box, paths.RectOf(e.a, e.b)) {
				return
			}
			k.r.clipWork += crossingCost
			for _, x := range paths.Crossings(c, paths.Line{A: e.a, B: e.b}, atCorner) {
				ts = append(ts, x.S)
			}
		})
	})
	if k.r.clipWork > maxClipWork {
		k.r.halt(k.at, "the clip paths take too long to apply: more than %d tests of edges", maxClipWork)
		return nil
	}
	slices.Sort(ts)
	var out []interval
	for i := 1; i < len(ts); i++ {
		t0, t1 := ts[i-1], ts[i]
		if t1-t0 < 1e-12 || !k.clip.contains(c.At((t0+t1)/2)) {
			continue
		}
		if n := len(out); n > 0 && t0-out[n-1].t1 < 1e-12 {
			out[n-1].t1 = t1
		} else {
			out = append(out, interval{t0, t1})
		}
	}
	return out
}

func overlap(a, b paths.Rect) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}
