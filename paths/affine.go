package paths

import "math"

// Affine is the map (x, y) -> (A·x + C·y + E, B·x + D·y + F): the order of
// the six numbers of an SVG matrix. The zero value maps everything to the
// origin; use [Identity] to start from.
type Affine struct{ A, B, C, D, E, F float64 }

// Identity returns the map that changes nothing.
func Identity() Affine { return Affine{A: 1, D: 1} }

// Translate returns the map that moves by d.
func Translate(d Point) Affine { return Affine{1, 0, 0, 1, d.X, d.Y} }

// Scale returns the map that scales about the origin by sx and sy.
func Scale(sx, sy float64) Affine { return Affine{A: sx, D: sy} }

// Rotate returns the map that turns about the origin by a radians,
// counter-clockwise where y is up.
func Rotate(a float64) Affine {
	sin, cos := math.Sincos(a)
	return Affine{cos, sin, -sin, cos, 0, 0}
}

// MirrorX returns the map that turns left and right over about the vertical
// line at x = axis.
func MirrorX(axis float64) Affine { return Affine{A: -1, D: 1, E: 2 * axis} }

// Then returns the map that applies m first and n second.
func (m Affine) Then(n Affine) Affine {
	return Affine{
		n.A*m.A + n.C*m.B, n.B*m.A + n.D*m.B,
		n.A*m.C + n.C*m.D, n.B*m.C + n.D*m.D,
		n.A*m.E + n.C*m.F + n.E, n.B*m.E + n.D*m.F + n.F,
	}
}

// Apply returns the image of the position p.
func (m Affine) Apply(p Point) Point {
	return Point{m.A*p.X + m.C*p.Y + m.E, m.B*p.X + m.D*p.Y + m.F}
}

// Det returns the determinant: the factor of areas, negative when m mirrors.
func (m Affine) Det() float64 { return m.A*m.D - m.B*m.C }

// Inverse returns the map that undoes m, and whether there is one.
func (m Affine) Inverse() (Affine, bool) {
	d := m.Det()
	if d == 0 || !isFinite(d) || !isFinite(1/d) {
		return Affine{}, false
	}
	inv := Affine{m.D / d, -m.B / d, -m.C / d, m.A / d, 0, 0}
	t := inv.Apply(Point{m.E, m.F})
	inv.E, inv.F = -t.X, -t.Y
	return inv, true
}

// IsSimilarity reports whether m keeps shapes, so that circles stay circles:
// the deviation over a radius r is below 1e-12·r.
func (m Affine) IsSimilarity() bool {
	s := math.Hypot(m.A, m.B)
	if m.Det() >= 0 {
		return math.Hypot(m.A-m.D, m.B+m.C) <= 1e-12*s
	}
	return math.Hypot(m.A+m.D, m.B-m.C) <= 1e-12*s
}

// MeanScale returns the square root of the factor of areas: the factor of
// lengths when m is a similarity.
func (m Affine) MeanScale() float64 { return math.Sqrt(math.Abs(m.Det())) }
