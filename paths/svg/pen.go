package svg

import (
	"math"

	"weftplot/paths"
)

// farthest is the greatest coordinate in mm that is passed on: 10 km, so that
// sums and products downstream keep a thousandth of a millimetre.
const farthest = 1e7

// pen draws segments given in user units and collects the strokes they make in
// page mm, y down. Ends that are the same point in user units are the same
// point on the page, to the last bit.
type pen struct {
	m      paths.Affine // from user units to page mm
	tol    float64
	budget *int // curves that may still be made

	start, at paths.Point // user units
	cur       paths.Stroke
	begun     bool // the subpath has a segment
	bad       bool // the subpath left the range of coordinates
	strokes   []paths.Stroke
	lost      int // subpaths left out for their coordinates
}

// spent reports whether no more curves may be made.
func (p *pen) spent() bool { return *p.budget < 0 }

// add puts a curve on the current stroke; curves without length only mark that
// something was drawn.
func (p *pen) add(c paths.Curve, to paths.Point) {
	*p.budget--
	p.begun, p.at = true, to
	if !inRange(c) {
		p.bad = true
		return
	}
	if !p.bad && !isPoint(c) {
		p.cur = append(p.cur, c)
	}
}

func (p *pen) moveTo(to paths.Point) {
	p.lift()
	*p.budget--
	p.start, p.at = to, to
}

func (p *pen) lineTo(to paths.Point) {
	p.add(paths.Line{A: p.m.Apply(p.at), B: p.m.Apply(to)}, to)
}

func (p *pen) cubicTo(b, c, d paths.Point) {
	p.add(paths.Cubic{A: p.m.Apply(p.at), B: p.m.Apply(b), C: p.m.Apply(c), D: p.m.Apply(d)}, d)
}

func (p *pen) quadTo(b, c paths.Point) {
	p.add(paths.Quadratic(p.m.Apply(p.at), p.m.Apply(b), p.m.Apply(c)), c)
}

// close draws back to the start of the subpath, where the next one begins
// unless a move comes first.
func (p *pen) close() {
	if p.at != p.start {
		p.lineTo(p.start)
	}
	p.begun = true
	p.lift()
}

// lift ends the subpath: a stroke, a dot when it has segments but no length,
// nothing when it has no segments.
func (p *pen) lift() {
	at := p.m.Apply(p.start)
	switch {
	case !p.begun:
	case p.bad || !pointInRange(at):
		p.lost++
	case len(p.cur) == 0:
		p.strokes = append(p.strokes, paths.Polyline(at))
	default:
		p.strokes = append(p.strokes, p.cur)
	}
	p.cur, p.begun, p.bad, p.at = nil, false, false, p.start
}

func pointInRange(q paths.Point) bool {
	return math.Abs(q.X) <= farthest && math.Abs(q.Y) <= farthest // false for NaN
}

// inRange reports whether every point of c that a machine would see is near
// enough to be drawn.
func inRange(c paths.Curve) bool {
	if !pointInRange(c.Start()) || !pointInRange(c.End()) {
		return false
	}
	switch c := c.(type) {
	case paths.Arc:
		return pointInRange(c.Centre) && finite(c.Sweep)
	case paths.Cubic:
		return pointInRange(c.B) && pointInRange(c.C)
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
