// Package knife compensates for the offset of a trailing blade, for stencils
// and paper patterns on a cutter.
//
// The tip of a blade that turns freely trails the axis of its holder by the
// offset e and follows it as a trailer follows a car: it always moves towards
// the axis, at a distance of e. It cuts a curve exactly when the axis is ahead
// of it by e along the tangent. So the axis moves, piece by piece,
//
//   - on a straight cut, the cut moved forward by e;
//   - on an arc of radius r, an arc about the same centre of radius √(r² + e²);
//   - at a corner, an arc of radius e about it, which turns the blade in place.
//
// The blade has no motor: it points where the last cut left it. So every cut
// begins with an arc about its first point, from the old direction to its own,
// and the very first begins with a run-in in the waste.
//
// It is not for blades that a motor turns. Cost: [Ways] is linear in the number of
// curves; [Nest] compares each closed stroke with the others of its size or larger.
package knife

import (
	"math"

	"weftplot/paths"
)

// Blade is a trailing blade and the way it cuts.
type Blade struct {
	// Offset is how far the tip trails the axis, mm; 0 leaves strokes as they are.
	Offset float64
	// Overcut is how far a closed cut continues past its start, mm, so that its
	// ends meet; usually the offset or a little more (common practice).
	Overcut float64
	// Passes is how often each stroke is cut; less than 1 counts as 1.
	Passes int
	// RunIn is a cut in the waste that comes first and gives the blade a known
	// direction; it must be several offsets long. With no length there is none,
	// and the blade is assumed to point along x.
	RunIn paths.Line
	// Swing is the least turn, in radians, at which the axis swings round the
	// tip. At a smaller one it goes straight on, and the tip strays by at most
	// Swing·Offset.
	Swing float64
}

// Ways returns the ways of the axis that cut the strokes, in their order. A
// stroke holds lines and arcs only, as package fit makes them. Each stroke
// gives one way for each pass; the way of the run-in, if there is one, comes
// before them all. Dots are left out, because a blade that does not move cuts
// nothing and has no direction.
func Ways(strokes []paths.Stroke, b Blade) []paths.Stroke {
	if b.Offset <= 0 {
		return strokes
	}
	w := holder{e: b.Offset, swing: b.Swing, heading: paths.Point{X: 1}}
	var out []paths.Stroke
	if d := b.RunIn.B.Sub(b.RunIn.A); d.Len() > 0 {
		w.heading = d.Unit()
		out = append(out, paths.Stroke{paths.Line{A: b.RunIn.A, B: b.RunIn.B.Add(w.heading.Mul(b.Offset))}})
	}
	for _, s := range strokes {
		if s = moving(s); len(s) == 0 {
			continue
		}
		cut := over(s, b.Overcut)
		for range max(1, b.Passes) {
			out = append(out, w.along(cut))
		}
	}
	return out
}

// moving leaves out pieces without length.
func moving(s paths.Stroke) paths.Stroke {
	var out paths.Stroke
	for _, c := range s {
		if c.Length() > 0 {
			out = append(out, c)
		}
	}
	return out
}

// over returns a closed stroke with its beginning repeated after its end, for
// the given length; an open one as it is.
func over(s paths.Stroke, length float64) paths.Stroke {
	if !s.IsClosed() {
		return s
	}
	out := append(paths.Stroke(nil), s...)
	for i := 0; length > 0; i = (i + 1) % len(s) {
		n := s[i].Length()
		if n > length {
			return append(out, paths.Sub(s[i], 0, length/n))
		}
		out = append(out, s[i])
		length -= n
	}
	return out
}

// holder makes the ways of the blade's holder one after another; each begins
// with the direction in which the last one left the blade.
type holder struct {
	e, swing float64
	heading  paths.Point // where the blade points, a unit vector
}

// along returns the path of the axis for one cut.
func (h *holder) along(s paths.Stroke) paths.Stroke {
	at := s.Start().Add(h.heading.Mul(h.e))
	var out paths.Stroke
	for i, c := range s {
		ahead := c.Tangent(0)
		next := c.Start().Add(ahead.Mul(h.e))
		out = h.turn(out, c.Start(), at, next, ahead, i == 0)
		piece := h.piece(c, next)
		out = append(out, piece)
		at, h.heading = piece.End(), c.Tangent(1)
	}
	return out
}

// turn moves the axis from at to next, around the tip.
func (h *holder) turn(out paths.Stroke, tip, at, next, ahead paths.Point, first bool) paths.Stroke {
	angle := math.Atan2(h.heading.Cross(ahead), h.heading.Dot(ahead))
	switch {
	case at == next:
	case at.Dist(next) < 1e-9: // the same point, but for rounding
		out = append(out, paths.Line{A: at, B: next})
	case !first && math.Abs(angle) < h.swing:
		out = append(out, paths.Line{A: at, B: next})
	default:
		out = append(out, paths.Arc{From: at, To: next, Centre: tip, Sweep: angle})
	}
	return out
}

// piece returns the path of the axis for a line or an arc, from its start.
func (h *holder) piece(c paths.Curve, from paths.Point) paths.Curve {
	to := c.End().Add(c.Tangent(1).Mul(h.e))
	if a, ok := c.(paths.Arc); ok {
		return paths.Arc{From: from, To: to, Centre: a.Centre, Sweep: a.Sweep}
	}
	return paths.Line{A: from, B: to}
}
