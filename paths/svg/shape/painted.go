package shape

import (
	"math"

	"weftplot/paths"
)

// Brush is how a line with a width is painted (SVG 2, Painting, stroke properties).
type Brush struct {
	// Map takes a circle of radius 1 round the origin to the brush: half the width of the
	// line, stretched as its transform stretches it. What it adds as a move is not used.
	Map  paths.Affine
	Cap  Cap
	Join Join
	// MiterLimit is how long a mitred corner may be, in widths of the line, before it is
	// bevelled.
	MiterLimit float64
}

// Cap is how an open line ends.
type Cap uint8

// The ends of lines.
const (
	ButtCap Cap = iota
	RoundCap
	SquareCap
)

// Join is how a line turns a corner.
type Join uint8

// The corners of lines.
const (
	MiterJoin Join = iota
	RoundJoin
	BevelJoin
)

// Painted returns the outlines of what a brush paints along strokes, filled under the
// nonzero rule: a piece for each curve, end and corner, all of one turn, so that where
// they overlap they are one. Lines and arcs keep their shape if the brush is round;
// cubics are flattened within tol. The result is nil for a brush without width.
//
// budget is how many more curves may be made; what is made is taken from it, and once it
// is below zero the rest is left out.
func Painted(strokes []paths.Stroke, b Brush, tol float64, budget *int) []paths.Stroke {
	m := b.Map
	m.E, m.F = 0, 0
	inverse, ok := m.Inverse()
	if !ok || math.IsInf(inverse.MeanScale(), 0) {
		return nil
	}
	p := painter{Brush: b, onto: m, tol: tol * inverse.MeanScale(), budget: budget}
	for _, s := range strokes {
		if *budget < 0 {
			break
		}
		p.stroke(s.Transform(inverse))
	}
	return p.out
}

// painter paints in a frame in which the brush is a circle of radius 1.
type painter struct {
	Brush
	onto   paths.Affine // to the frame of the result
	tol    float64
	budget *int
	out    []paths.Stroke
}

// stroke paints along one stroke: the curves, then its corners and ends.
func (p *painter) stroke(s paths.Stroke) {
	if s.IsDot() {
		p.dot(s.Start())
		return
	}
	var pieces paths.Stroke
	var corners []bool // before each piece: whether it is one of the stroke, not of a cubic that was flattened
	for _, c := range s {
		if len(pieces) > *p.budget {
			*p.budget = -1
			return
		}
		for i, piece := range p.pieces(c) {
			if piece.Start() != piece.End() || piece.Length() > 0 {
				pieces, corners = append(pieces, piece), append(corners, i == 0)
			}
		}
	}
	if len(pieces) == 0 {
		return
	}
	last := pieces[len(pieces)-1]
	for i, c := range pieces {
		p.along(c)
		if i > 0 {
			p.corner(pieces[i-1], c, corners[i])
		}
	}
	if s.Start() == s.End() {
		p.corner(last, pieces[0], true)
		return
	}
	p.end(s.Start(), pieces[0].Tangent(0).Mul(-1))
	p.end(s.End(), last.Tangent(1))
}

// pieces returns a curve as lines within the tolerance, unless it is a line or an arc
// that is wider than the brush.
func (p *painter) pieces(c paths.Curve) paths.Stroke {
	switch c := c.(type) {
	case paths.Line:
		return paths.Stroke{c}
	case paths.Arc:
		if c.Radius() > 1 {
			return paths.Stroke{c}
		}
	}
	pts := paths.Stroke{c}.Flatten(p.tol)
	out := make(paths.Stroke, 0, len(pts)-1)
	for i := 1; i < len(pts); i++ {
		out = append(out, paths.Line{A: pts[i-1], B: pts[i]})
	}
	return out
}

// along paints along a line, or an arc with a radius above 1.
func (p *painter) along(c paths.Curve) {
	arc, bent := c.(paths.Arc)
	if !bent {
		side := c.Tangent(0).Left()
		a, b := c.Start(), c.End()
		p.polygon(a.Add(side), b.Add(side), b.Sub(side), a.Sub(side))
		return
	}
	bow := func(r float64) paths.Arc {
		at := func(q paths.Point) paths.Point { return arc.Centre.Lerp(q, r/arc.Radius()) }
		return paths.Arc{From: at(arc.From), To: at(arc.To), Centre: arc.Centre, Sweep: arc.Sweep}
	}
	outer, inner := bow(arc.Radius()+1), bow(arc.Radius()-1).Reverse()
	if math.Abs(arc.Sweep) >= 2*math.Pi-1e-9 { // a ring: its hole turns the other way
		if arc.Sweep < 0 {
			outer, inner = outer.Reverse().(paths.Arc), inner.Reverse()
		}
		p.put(paths.Stroke{outer})
		p.put(paths.Stroke{inner})
		return
	}
	s := paths.Stroke{outer, paths.Line{A: outer.To, B: inner.Start()}, inner, paths.Line{A: inner.End(), B: outer.From}}
	if arc.Sweep < 0 {
		s = s.Reverse()
	}
	p.put(s)
}

// corner fills the outer side of the corner between two pieces. One that is not of the
// stroke is mitred, unless it is the cusp of a cubic.
func (p *painter) corner(a, b paths.Curve, real bool) {
	q, from, to := b.Start(), a.Tangent(1), b.Tangent(0)
	turn, ahead := from.Cross(to), from.Dot(to)
	real = real || ahead < 0.8
	if math.Abs(turn) < 1e-12 && ahead > 0 {
		return
	}
	out := -1. // the outer side is on the right of a turn to the left
	if turn < 0 {
		out = 1
	}
	u, v := from.Left().Mul(out), to.Left().Mul(out)
	switch limit := p.MiterLimit; {
	case real && p.Join == RoundJoin:
		p.fan(q, u, v, math.Atan2(turn, ahead))
	case !real || p.Join != BevelJoin && 2 <= limit*limit*(1+ahead):
		tip := u.Add(v).Mul(1 / (1 + ahead))
		p.polygon(q, q.Add(u), q.Add(tip), q.Add(v))
	default:
		p.polygon(q, q.Add(u), q.Add(v))
	}
}

// fan fills the sector round q between two directions.
func (p *painter) fan(q, u, v paths.Point, sweep float64) {
	if sweep == 0 {
		return
	}
	arc := paths.Arc{From: q.Add(u), To: q.Add(v), Centre: q, Sweep: sweep}
	s := paths.Stroke{arc, paths.Line{A: arc.To, B: q}, paths.Line{A: q, B: arc.From}}
	if sweep < 0 {
		s = s.Reverse()
	}
	p.put(s)
}

// end paints the end of an open stroke at q; ahead is the direction out of it.
func (p *painter) end(q, ahead paths.Point) {
	side := ahead.Left()
	switch p.Cap {
	case RoundCap:
		p.fan(q, side.Mul(-1), side, math.Pi)
	case SquareCap:
		p.polygon(q.Add(side), q.Sub(side), q.Sub(side).Add(ahead), q.Add(side).Add(ahead))
	}
}

// dot paints a stroke without length.
func (p *painter) dot(q paths.Point) {
	switch p.Cap {
	case RoundCap:
		p.put(paths.Stroke{paths.Circle(q, 1)})
	case SquareCap:
		p.polygon(q.Add(paths.Point{X: 1, Y: 1}), q.Add(paths.Point{X: -1, Y: 1}), q.Add(paths.Point{X: -1, Y: -1}), q.Add(paths.Point{X: 1, Y: -1}))
	}
}

// polygon puts a convex polygon on the result, anticlockwise.
func (p *painter) polygon(pts ...paths.Point) {
	area := 0.
	for i := 2; i < len(pts); i++ {
		area += pts[i-1].Sub(pts[0]).Cross(pts[i].Sub(pts[0]))
	}
	s := paths.Polyline(append(pts, pts[0])...)
	switch {
	case area < 0:
		s = s.Reverse()
	case area == 0:
		return
	}
	p.put(s)
}

// put puts an anticlockwise outline on the result.
func (p *painter) put(s paths.Stroke) {
	if *p.budget -= len(s); *p.budget >= 0 {
		p.out = append(p.out, s.Transform(p.onto))
	}
}
