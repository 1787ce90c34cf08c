package scan

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/near"
)

// Welding joins what thinning, the paper's tooth and the fit have parted: an end that
// lies beside the line it belongs to, and one that stops short of what it points at.

const (
	// weldWidths is how far, in widths of the line, an end is moved onto a line that its
	// ink all but touches, and skipWidths that where the pencil skipped often.
	weldWidths = 1.2
	skipWidths = 2.5
	// touchWidths is how far, in widths of the line, a corner lies from a line that its
	// ink touches.
	touchWidths = 0.6
	// mostGapMM bounds it for wide lines.
	mostGapMM = 5
	// often is how many breaks in lines show that it did.
	often = 8
	// gapWidths is how wide a gap is, in widths of the line, that an end is looked at
	// for; it is closed or listed.
	gapWidths = 4
	// skipGapWidths is that where the pencil skipped often, which also makes lines look
	// thinner than they are.
	skipGapWidths = 6
	// facing is how far from its direction an end may look to what it faces.
	facing = 62 * degree
	// support is the share of the usual darkness that shows a line in a gap.
	support = 0.16
)

// welder closes the open ends of strokes, in pixels.
type welder struct {
	k       ink
	strokes []paths.Stroke
	boxes   []paths.Rect
	reach   float64 // the widest gap
	sure    float64 // the widest that is closed on bare paper
}

// tie is what an end faces.
type tie struct {
	at  paths.Point // where
	end bool        // it is the end of a stroke
}

// weld closes the open ends of strokes and lists those that it leaves open. breaks is
// how many breaks in lines there were.
func (t *tracer) weld(k ink, breaks int) {
	w := welder{k: k, strokes: t.out.Strokes, reach: min(gapWidths*t.width, mostGapMM/t.mm), sure: weldWidths * t.width}
	if breaks >= often {
		w.reach = min(skipGapWidths*t.width, mostGapMM/t.mm)
		w.sure = min(skipWidths*t.width, w.reach)
	}
	w.boxes = make([]paths.Rect, len(w.strokes))
	for i := range w.strokes {
		w.box(i)
	}
	for _, wide := range []float64{w.sure, w.reach} {
		if wide == w.reach {
			w.follow(min(followWidths*t.width, mostFollowMM/t.mm))
		}
		for i := range w.strokes {
			for _, last := range []bool{false, true} {
				from, to, open := w.close(i, last, wide)
				if open && wide == w.reach {
					t.found(Doubtful, from.Lerp(to, 0.5), paths.Polyline(from, to),
						fmt.Sprintf("a line stops %.1f mm short of another: do they meet?", from.Dist(to)*t.mm))
				}
			}
		}
	}
	w.strokes = joinedAtEnds(w.strokes)
	w.boxes = w.boxes[:len(w.strokes)]
	for i := range w.strokes {
		w.box(i)
	}
	for i := range w.strokes {
		w.touch(i)
	}
	t.out.Strokes = w.strokes
}

func (w *welder) box(i int) { w.boxes[i] = w.strokes[i].Bounds().Grow(w.reach) }

// close closes the gap that an end faces, if it is no wider than wide. It reports where
// a gap was left open.
func (w *welder) close(i int, last bool, wide float64) (from, to paths.Point, open bool) {
	s := w.strokes[i]
	if len(s) == 0 || s.IsDot() || s.IsClosed() {
		return from, to, false
	}
	p := endOf(s, last)
	x, ok := w.faced(i, last, wide)
	if !ok {
		return from, to, false
	}
	gap := p.Dist(x.at)
	if gap > w.sure && !w.k.supports(p, x.at) {
		return p, x.at, true
	}
	w.strokes[i] = endedAt(s, last, x.at)
	w.box(i)
	return from, to, false
}

// touch moves the corners of a stroke onto another that their ink touches: it closes an
// area there.
func (w *welder) touch(i int) {
	s := w.strokes[i]
	n := len(s)
	for k := range s {
		next := (k + 1) % n
		if next == 0 && (n < 2 || !s.IsClosed()) {
			break
		}
		u, v := s[k].Tangent(1), s[next].Tangent(0)
		if turn(u, v) < cornerTurn {
			continue
		}
		if at, ok := w.touched(i, k, next, u.Sub(v)); ok {
			s = corneredAt(s, k, next, at)
			w.strokes[i] = s
		}
	}
}

// touched returns the place of another line that the ink of the corner between curves k
// and next of stroke i touches, on the side that the corner points to.
func (w *welder) touched(i, k, next int, out paths.Point) (at paths.Point, ok bool) {
	p := w.strokes[i][k].End()
	least := touchWidths * w.k.width
	for j, o := range w.strokes {
		if len(o) == 0 || !w.boxes[j].Contains(p) {
			continue
		}
		for c, curve := range o {
			if j == i && (c == k || c == next) {
				continue
			}
			u, d := near.On(curve, p)
			if d < 1e-6 && j != i {
				return at, false
			}
			if q := curve.At(u); d < least && q.Sub(p).Dot(out) > 0.5*d*out.Len() && w.k.inked(p.Lerp(q, 0.5)) {
				least, at, ok = d, q, true
			}
		}
	}
	return at, ok
}

// faced returns what an end faces within reach: where its line would meet another, an
// end there, or the nearest place of one. An end that touches another stroke faces none.
func (w *welder) faced(i int, last bool, reach float64) (tie, bool) {
	s := w.strokes[i]
	v := view{p: endOf(s, last), dir: s[0].Tangent(0).Mul(-1), reach: reach, beside: 0.5 * w.k.width, nearEnd: max(0.5*w.k.width, 0.6*min(w.sure, reach)), cost: math.Inf(1)}
	if last {
		v.dir = s[len(s)-1].Tangent(1)
	}
	for j, o := range w.strokes {
		if len(o) == 0 || !w.boxes[j].Contains(v.p) {
			continue
		}
		if j == i {
			w.facesItself(&v, s, last)
			continue
		}
		if !o.IsClosed() {
			v.look(tie{at: o.Start(), end: true})
			v.look(tie{at: o.End(), end: true})
		}
		c, u, d := near.OnStroke(o, v.p)
		if d < 1e-6 {
			return tie{}, false
		}
		v.look(tie{at: o[c].At(u)})
		if at, ok := crossing(o, v.p, v.dir, reach); ok {
			v.look(tie{at: at})
		}
	}
	return v.best, !math.IsInf(v.cost, 1) && v.cost > 0
}

// facesItself looks at the stroke that an end belongs to: its other end, and what of it
// lies beside the end and is not the way to it.
func (w *welder) facesItself(v *view, s paths.Stroke, last bool) {
	away := 3 * v.reach
	if s.Length() > away {
		v.look(tie{at: endOf(s, !last), end: true})
	}
	if last {
		s = s.Reverse()
	}
	pts := s.Flatten(0.05)
	best, least, along := paths.Point{}, math.Inf(1), 0.0
	for k := 1; k < len(pts); k++ {
		l := paths.Line{A: pts[k-1], B: pts[k]}
		before := along
		along += l.Length()
		if along <= away {
			continue
		}
		l.A = l.A.Lerp(l.B, max(0, away-before)/(along-before))
		if u, d := near.On(l, v.p); d < least {
			best, least = l.At(u), d
		}
	}
	if !math.IsInf(least, 1) {
		v.look(tie{at: best})
	}
}

// view is what an end sees: the best of what it has looked at.
type view struct {
	p, dir        paths.Point
	reach, beside float64 // what is nearer than beside is seen whatever the direction
	nearEnd       float64 // that for ends: two that both turn off short of a corner
	best          tie
	cost          float64
}

// look takes a tie if it is better than what was seen before: nearer, more straight
// ahead, and rather an end.
func (v *view) look(t tie) {
	d := v.p.Dist(t.at)
	off := turn(v.dir, t.at.Sub(v.p))
	beside := v.beside
	if t.end {
		beside = v.nearEnd
	}
	if d > v.reach || d >= beside && off > facing {
		return
	}
	cost := d * (1 + off)
	if t.end {
		cost *= 0.7
	}
	if cost < v.cost {
		v.cost, v.best = cost, t
	}
}

// crossing returns where a ray from p meets a stroke first, within reach.
func crossing(s paths.Stroke, p, dir paths.Point, reach float64) (paths.Point, bool) {
	best, at := reach, paths.Point{}
	r := ray{at: p, dir: dir}
	for _, c := range s {
		if !c.Bounds().Grow(reach).Contains(p) {
			continue
		}
		pts := paths.Stroke{c}.Flatten(0.1)
		for k := 1; k < len(pts); k++ {
			if q, ok := r.crosses(pts[k-1], pts[k]); ok && q.Dist(p) < best {
				best, at = q.Dist(p), q
			}
		}
	}
	return at, best < reach
}

// supports reports whether the paper is darker in a gap than about it, as it is where a
// line was hardly drawn: in the mean over half a width and what is clear of the ends.
func (k ink) supports(a, b paths.Point) bool {
	clear := min(0.7*k.width/a.Dist(b), 0.35)
	a, b = a.Lerp(b, clear), b.Lerp(a, clear)
	n := int(math.Ceil(2 * a.Dist(b)))
	side := b.Sub(a).Unit().Left().Mul(k.width)
	var in, out float64
	for i := range n + 1 {
		p := a.Lerp(b, float64(i)/float64(n))
		in += (k.dark(p) + k.dark(p.Add(side.Mul(0.25))) + k.dark(p.Sub(side.Mul(0.25)))) / 3
		out += min(k.dark(p.Add(side.Mul(1.5))), k.dark(p.Sub(side.Mul(1.5))))
	}
	return (in-out)/float64(n+1) > support*k.level
}
