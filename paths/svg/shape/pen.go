package shape

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/svg/lex"
)

// Farthest is the greatest coordinate in mm that is passed on: 10 km, so that
// sums and products downstream keep a thousandth of a millimetre.
const Farthest = 1e7

// Pen draws segments given in user units and collects the strokes they make in
// page mm, y down. Ends that are the same point in user units are the same
// point on the page, to the last bit.
type Pen struct {
	Map       paths.Affine   // from user units to page mm
	Tolerance float64        // mm by which cubics may stray from an ellipse
	Budget    *int           // curves that may still be made; below zero, the budget was exceeded
	Strokes   []paths.Stroke // what was drawn: a stroke for each subpath
	Lost      int            // subpaths left out for their coordinates

	start, at paths.Point // user units
	cur       paths.Stroke
	again     bool // the room of cur is used for one subpath after another
	begun     bool // the subpath has a segment
	bad       bool // the subpath left the range of coordinates
}

// Spent reports whether no more curves may be made.
func (p *Pen) Spent() bool { return *p.Budget < 0 }

// add appends a curve to the current stroke; a curve without length only marks
// that something was drawn.
func (p *Pen) add(c paths.Curve, to paths.Point) {
	*p.Budget--
	p.begun, p.at = true, to
	if !inRange(c) {
		p.bad = true
		return
	}
	if !p.bad && !isPoint(c) {
		p.cur = append(p.cur, c)
	}
}

// MoveTo ends the subpath and begins the next.
func (p *Pen) MoveTo(to paths.Point) {
	p.End()
	*p.Budget--
	p.start, p.at = to, to
}

// LineTo draws a line.
func (p *Pen) LineTo(to paths.Point) {
	p.add(paths.Line{A: p.Map.Apply(p.at), B: p.Map.Apply(to)}, to)
}

// CubicTo draws a cubic to d with the control points b and c.
func (p *Pen) CubicTo(b, c, d paths.Point) {
	p.add(paths.Cubic{A: p.Map.Apply(p.at), B: p.Map.Apply(b), C: p.Map.Apply(c), D: p.Map.Apply(d)}, d)
}

// QuadTo draws a quadratic to c, as a cubic, with the control point b.
func (p *Pen) QuadTo(b, c paths.Point) {
	p.add(paths.Quadratic(p.Map.Apply(p.at), p.Map.Apply(b), p.Map.Apply(c)), c)
}

// Close draws back to the start of the subpath, where the next one begins
// unless a move comes first.
func (p *Pen) Close() {
	if p.at != p.start {
		p.LineTo(p.start)
	}
	p.begun = true
	p.End()
}

// End ends the subpath: a stroke, a dot when it has segments but no length,
// nothing when it has no segments.
func (p *Pen) End() {
	at := p.Map.Apply(p.start)
	switch {
	case !p.begun:
	case p.bad || !InRange(at):
		p.Lost++
	case len(p.cur) == 0:
		p.Strokes = append(p.Strokes, paths.Polyline(at))
	case p.again:
		p.Strokes = append(p.Strokes, slices.Clone(p.cur))
	default:
		p.Strokes = append(p.Strokes, p.cur)
	}
	if p.cur = p.cur[:0]; !p.again {
		p.cur = nil
	}
	p.begun, p.bad, p.at = false, false, p.start
}

// Next makes p ready for another shape, under another map. What it has drawn is taken
// from it. It saves the room that drawing takes, where many shapes are drawn.
func (p *Pen) Next(m paths.Affine) {
	*p = Pen{Map: m, Tolerance: p.Tolerance, Budget: p.Budget, cur: p.cur[:0], again: true}
}

// InRange reports whether a point on the page is near enough to be passed on; see
// [Farthest].
func InRange(q paths.Point) bool {
	return math.Abs(q.X) <= Farthest && math.Abs(q.Y) <= Farthest // false for NaN
}

// inRange reports whether every point of c, and its centre if it has one, is
// near enough to be drawn.
func inRange(c paths.Curve) bool {
	if !InRange(c.Start()) || !InRange(c.End()) {
		return false
	}
	switch c := c.(type) {
	case paths.Arc:
		return InRange(c.Centre) && lex.Finite(c.Sweep)
	case paths.Cubic:
		return InRange(c.B) && InRange(c.C)
	}
	return true
}

// isPoint reports whether c has no length.
func isPoint(c paths.Curve) bool {
	switch c := c.(type) {
	case paths.Line:
		return c.A == c.B
	case paths.Cubic:
		return c.A == c.B && c.A == c.C && c.A == c.D
	case paths.Arc:
		return c.Sweep == 0 || c.Radius() == 0
	}
	return false
}
