package svg

import (
	"math"
	"slices"

	"weftplot/paths"
)

// maxClipWork bounds how often an edge of a clip path is looked at in one file.
const maxClipWork = 25_000_000

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
			if overlap(box, paths.RectOf(e.a, e.b)) {
				ts = crossings(c, e, ts)
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

// crossings appends the parameters within (0, 1) where c meets the edge.
func crossings(c paths.Curve, e edge, ts []float64) []float64 {
	d := e.b.Sub(e.a)
	keep := func(t float64, p paths.Point) {
		// A crossing at the corner of two edges may be missed by neither.
		if u := p.Sub(e.a).Dot(d) / d.Dot(d); t > 0 && t < 1 && u > -1e-9 && u < 1+1e-9 {
			ts = append(ts, t)
		}
	}
	switch c := c.(type) {
	case paths.Line:
		v := c.B.Sub(c.A)
		if den := v.Cross(d); math.Abs(den) > 1e-12*v.Len()*d.Len() {
			t := e.a.Sub(c.A).Cross(d) / den
			keep(t, c.At(t))
			break
		}
		for _, p := range []paths.Point{e.a, e.b} { // along one another: cut at the corners
			if t := p.Sub(c.A).Dot(v) / v.Dot(v); t > 0 && t < 1 {
				ts = append(ts, t)
			}
		}
	case paths.Arc:
		for _, t := range arcCrossings(c, e, d) {
			keep(t, c.At(t))
		}
	case paths.Cubic:
		n := d.Left()
		f := func(p paths.Point) float64 { return n.Dot(p.Sub(e.a)) }
		for _, t := range roots(f(c.A), f(c.B), f(c.C), f(c.D)) {
			keep(t, c.At(t))
		}
	}
	return ts
}

// arcCrossings returns the parameters where the circle of c meets the line of
// the edge, as far as they lie in the arc.
func arcCrossings(c paths.Arc, e edge, d paths.Point) []float64 {
	r, foot := c.Radius(), c.Centre.Sub(e.a)
	unit := d.Unit()
	mid := e.a.Add(unit.Mul(foot.Dot(unit)))
	h := c.Centre.Dist(mid)
	if h > r || r == 0 {
		return nil
	}
	half := math.Sqrt((r - h) * (r + h))
	start := c.From.Sub(c.Centre)
	var out []float64
	for _, p := range []paths.Point{mid.Add(unit.Mul(half)), mid.Sub(unit.Mul(half))} {
		q := p.Sub(c.Centre)
		angle := math.Atan2(start.Cross(q), start.Dot(q))
		if c.Sweep < 0 {
			angle = -angle
		}
		if angle < 0 {
			angle += 2 * math.Pi
		}
		if t := angle / math.Abs(c.Sweep); t > 0 && t < 1 {
			out = append(out, t)
		}
	}
	return out
}

// roots returns where the cubic with these Bernstein coefficients is zero
// between 0 and 1: it is cut where it turns, and each part that changes sign is
// halved down to the root.
func roots(a, b, c, d float64) []float64 {
	if min(a, b, c, d) > 0 || max(a, b, c, d) < 0 {
		return nil
	}
	f := func(t float64) float64 {
		u := 1 - t
		return u*u*u*a + 3*u*u*t*b + 3*u*t*t*c + t*t*t*d
	}
	stops := append([]float64{0}, turns(a, b, c, d)...)
	stops = append(stops, 1)
	slices.Sort(stops)
	var out []float64
	for i := 1; i < len(stops); i++ {
		lo, hi := stops[i-1], stops[i]
		flo, fhi := f(lo), f(hi)
		if flo == 0 {
			out = append(out, lo)
		}
		if flo*fhi >= 0 {
			continue
		}
		for range 60 {
			mid := (lo + hi) / 2
			if (f(mid) < 0) == (flo < 0) {
				lo = mid
			} else {
				hi = mid
			}
		}
		out = append(out, (lo+hi)/2)
	}
	if f(1) == 0 {
		out = append(out, 1)
	}
	return out
}

// turns returns where the derivative is zero between 0 and 1.
func turns(a, b, c, d float64) []float64 {
	p, q, r := d-3*c+3*b-a, 2*(c-2*b+a), b-a
	disc := q*q - 4*p*r
	if disc < 0 {
		return nil
	}
	s := -(q + math.Copysign(math.Sqrt(disc), q)) / 2
	var out []float64
	for _, t := range []float64{s / p, r / s} {
		if t > 0 && t < 1 { // false for the division by zero
			out = append(out, t)
		}
	}
	return out
}
