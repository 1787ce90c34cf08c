package paths

import "math"

// Point is a position or a displacement in mm, y up.
type Point struct{ X, Y float64 }

// Add returns p+q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p-q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by k.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Dot returns the scalar product of p and q.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z component of the vector product; positive when q is to
// the left of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Len returns the length of p as a vector.
func (p Point) Len() float64 { return math.Hypot(p.X, p.Y) }

// Dist returns the distance from p to q.
func (p Point) Dist(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Angle returns the direction of p as a vector, in (-π, π].
func (p Point) Angle() float64 { return math.Atan2(p.Y, p.X) }

// Lerp returns the point a fraction t of the way from p to q; exactly p at 0
// and exactly q at 1.
func (p Point) Lerp(q Point, t float64) Point {
	if t == 1 {
		return q
	}
	return Point{p.X + (q.X-p.X)*t, p.Y + (q.Y-p.Y)*t}
}

// Left returns p turned a quarter turn counter-clockwise.
func (p Point) Left() Point { return Point{-p.Y, p.X} }

// Unit returns p with length 1, or the zero vector when p has no length.
func (p Point) Unit() Point {
	l := p.Len()
	if l == 0 {
		return Point{}
	}
	return Point{p.X / l, p.Y / l}
}

// IsFinite reports whether neither coordinate is infinite or not a number.
func (p Point) IsFinite() bool { return isFinite(p.X) && isFinite(p.Y) }

func isFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// polar returns the point at distance r from the origin in direction a.
func polar(r, a float64) Point {
	sin, cos := math.Sincos(a)
	return Point{r * cos, r * sin}
}
