package paths

import "math"

// Cubic is the Bézier curve of degree three from A to D with the control
// points B and C.
type Cubic struct{ A, B, C, D Point }

// Quadratic returns the Bézier curve of degree two from a to c with the control
// point b, raised to degree three: the same points exactly.
func Quadratic(a, b, c Point) Cubic {
	return Cubic{a, a.Lerp(b, 2./3), c.Lerp(b, 2./3), c}
}

// Start returns the first point.
func (c Cubic) Start() Point { return c.A }

// End returns the last point.
func (c Cubic) End() Point { return c.D }

// At returns the point at t in [0, 1]; exactly the ends at 0 and 1.
func (c Cubic) At(t float64) Point {
	switch t {
	case 0:
		return c.A
	case 1:
		return c.D
	}
	u := 1 - t
	return c.A.Mul(u * u * u).Add(c.B.Mul(3 * u * u * t)).
		Add(c.C.Mul(3 * u * t * t)).Add(c.D.Mul(t * t * t))
}

// derivative returns the velocity at t.
func (c Cubic) derivative(t float64) Point {
	u := 1 - t
	return c.B.Sub(c.A).Mul(3 * u * u).Add(c.C.Sub(c.B).Mul(6 * u * t)).
		Add(c.D.Sub(c.C).Mul(3 * t * t))
}

// Tangent returns the unit direction of travel at t in [0, 1]; at a cusp that of
// leaving it, or of arriving where t is over a half.
func (c Cubic) Tangent(t float64) Point {
	d := c.derivative(t)
	if l := d.Len(); l > 1e-9*c.size() {
		return d.Mul(1 / l)
	}
	// The velocity vanishes at a retracted handle or a cusp: the direction is
	// that of the next derivative which does not.
	u := 1 - t
	d2 := c.A.Sub(c.B.Mul(2)).Add(c.C).Mul(u).Add(c.B.Sub(c.C.Mul(2)).Add(c.D).Mul(t))
	if t > 0.5 {
		d2 = d2.Mul(-1) // arriving, not leaving
	}
	if d2.Len() > 1e-9*c.size() {
		return d2.Unit()
	}
	return c.D.Sub(c.A).Unit()
}

// size returns the greatest distance between neighbouring control points.
func (c Cubic) size() float64 { return max(c.A.Dist(c.B), c.B.Dist(c.C), c.C.Dist(c.D)) }

// Bounds returns the tight bounding box.
func (c Cubic) Bounds() Rect {
	r := RectOf(c.A, c.D)
	for _, t := range stationary(c.A.X, c.B.X, c.C.X, c.D.X) {
		r = r.Include(Point{c.At(t).X, c.A.Y})
	}
	for _, t := range stationary(c.A.Y, c.B.Y, c.C.Y, c.D.Y) {
		r = r.Include(Point{c.A.X, c.At(t).Y})
	}
	return r
}

// stationary returns the parameters inside (0, 1) where the coordinate with
// the given control values stops changing.
func stationary(a, b, c, d float64) []float64 {
	// A third of the derivative is p·t² + q·t + r.
	return quadraticRoots(d-3*c+3*b-a, 2*(c-2*b+a), b-a)
}

// quadraticRoots returns the roots of p·t² + q·t + r inside (0, 1).
func quadraticRoots(p, q, r float64) []float64 {
	var out []float64
	keep := func(t float64) {
		if t > 0 && t < 1 {
			out = append(out, t)
		}
	}
	disc := q*q - 4*p*r
	if disc < 0 {
		return nil
	}
	// The stable form of the quadratic formula: no cancelling difference.
	s := -(q + math.Copysign(math.Sqrt(disc), q)) / 2
	if p != 0 {
		keep(s / p)
	}
	if s != 0 {
		keep(r / s)
	}
	return out
}

// Split cuts at t into two cubics that meet exactly.
func (c Cubic) Split(t float64) (Curve, Curve) { return c.halves(t) }

// halves cuts at t by de Casteljau's construction.
func (c Cubic) halves(t float64) (Cubic, Cubic) {
	ab, bc, cd := c.A.Lerp(c.B, t), c.B.Lerp(c.C, t), c.C.Lerp(c.D, t)
	abc, bcd := ab.Lerp(bc, t), bc.Lerp(cd, t)
	m := abc.Lerp(bcd, t)
	return Cubic{c.A, ab, abc, m}, Cubic{m, bcd, cd, c.D}
}

// Reverse returns the same points travelled the other way.
func (c Cubic) Reverse() Curve { return Cubic{c.D, c.C, c.B, c.A} }

// Transform returns the image under m; see [Curve] for its kind.
func (c Cubic) Transform(m Affine) []Curve {
	return []Curve{Cubic{m.Apply(c.A), m.Apply(c.B), m.Apply(c.C), m.Apply(c.D)}}
}

func (c Cubic) isFinite() bool {
	return c.A.IsFinite() && c.B.IsFinite() && c.C.IsFinite() && c.D.IsFinite()
}

func (c Cubic) appendFlat(pts []Point, tol float64) []Point {
	return c.appendHalves(pts, tol, 20)
}

func (c Cubic) appendHalves(pts []Point, tol float64, depth int) []Point {
	if depth == 0 || c.flatnessSq() <= tol*tol {
		return append(pts, c.D)
	}
	a, b := c.halves(0.5)
	return b.appendHalves(a.appendHalves(pts, tol, depth-1), tol, depth-1)
}

// flatness is the root of [Cubic.flatnessSq], mm.
func (c Cubic) flatness() float64 { return math.Sqrt(c.flatnessSq()) }

// flatnessSq bounds the square of the distance between the curve and its chord, both
// ways. The curve lies in the hull of its control points, so no point of it is farther
// from the chord than they are; where none of them lies beyond the ends of the
// chord, the curve is at most three quarters as far away.
func (c Cubic) flatnessSq() float64 {
	chord := c.D.Sub(c.A)
	far := max(Line{c.A, c.D}.DistSq(c.B), Line{c.A, c.D}.DistSq(c.C))
	l2 := chord.Dot(chord)
	beside := func(p Point) bool {
		k := p.Sub(c.A).Dot(chord)
		return 0 <= k && k <= l2
	}
	if beside(c.B) && beside(c.C) {
		return 0.75 * 0.75 * far
	}
	return far
}
