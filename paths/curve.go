package paths

import "math"

// Curve is one piece of a stroke: a [Line], an [Arc] or a [Cubic]. The set is
// closed. Curves are values; no method changes its receiver.
type Curve interface {
	// Start and End are the exact ends.
	Start() Point
	End() Point
	// At returns the point at parameter t in [0, 1]; exactly the ends at 0 and 1.
	At(t float64) Point
	// Tangent returns the unit direction of travel at t, the zero vector when
	// the curve is a single point. At a cusp it is the direction of leaving it.
	Tangent(t float64) Point
	// Length returns the length in mm, within 1e-9 of it or 1e-9 mm.
	Length() float64
	// Bounds returns the tight bounding box.
	Bounds() Rect
	// Split cuts at parameter t into two curves that meet exactly.
	Split(t float64) (Curve, Curve)
	// Reverse returns the same points travelled the other way.
	Reverse() Curve
	// Transform returns the image under m. The image of an arc under a map that
	// is not a similarity is a chain of cubics, within 1e-7 of the greater
	// radius; all else is a single curve of the same kind.
	Transform(m Affine) []Curve
	// appendFlat appends to pts the vertices after the start of a polyline that
	// lies within tol of the curve, and the curve within tol of it.
	appendFlat(pts []Point, tol float64) []Point
	// isFinite reports whether every number in it is finite.
	isFinite() bool
}

var (
	_ Curve = Line{}
	_ Curve = Arc{}
	_ Curve = Cubic{}
)

// Sub returns the part of c between parameters t0 <= t1.
func Sub(c Curve, t0, t1 float64) Curve {
	if t1 < 1 {
		c, _ = c.Split(t1)
	}
	if t0 > 0 {
		_, c = c.Split(min(1, t0/max(t1, t0)))
	}
	return c
}

// WithEnds returns c with its ends put at a and b exactly. Both must be near
// the old ends, because the rest of an arc or a cubic stays as it is.
func WithEnds(c Curve, a, b Point) Curve {
	switch c := c.(type) {
	case Arc:
		c.From, c.To = a, b
		return c
	case Cubic:
		c.A, c.D = a, b
		return c
	}
	return Line{a, b}
}

// Line is the straight piece from A to B. A line whose ends coincide is a dot.
type Line struct{ A, B Point }

// Start returns the first point.
func (l Line) Start() Point { return l.A }

// End returns the last point.
func (l Line) End() Point { return l.B }

// At returns the point at t in [0, 1]; exactly the ends at 0 and 1.
func (l Line) At(t float64) Point { return l.A.Lerp(l.B, t) }

// Tangent returns the unit direction from A to B; zero for a dot.
func (l Line) Tangent(float64) Point { return l.B.Sub(l.A).Unit() }

// Length returns the length in mm.
func (l Line) Length() float64 { return l.A.Dist(l.B) }

// Bounds returns the tight bounding box.
func (l Line) Bounds() Rect { return RectOf(l.A, l.B) }

// Reverse returns the same points travelled the other way.
func (l Line) Reverse() Curve { return Line{l.B, l.A} }

func (l Line) isFinite() bool { return l.A.IsFinite() && l.B.IsFinite() }

// Transform returns the image under m; see [Curve] for its kind.
func (l Line) Transform(m Affine) []Curve { return []Curve{Line{m.Apply(l.A), m.Apply(l.B)}} }

// Split cuts at t into two lines that meet exactly.
func (l Line) Split(t float64) (Curve, Curve) {
	p := l.At(t)
	return Line{l.A, p}, Line{p, l.B}
}

func (l Line) appendFlat(pts []Point, _ float64) []Point { return append(pts, l.B) }

// Nearest returns the parameter of the point of l nearest to p, and how far away
// that is in mm. Package paths/near does the same for curves of every kind.
func (l Line) Nearest(p Point) (t, dist float64) {
	d := l.B.Sub(l.A)
	if l2 := d.Dot(d); l2 > 0 {
		t = min(1, max(0, p.Sub(l.A).Dot(d)/l2))
	}
	return t, p.Dist(l.At(t))
}

// Dist returns the distance in mm from p to the nearest point of l.
func (l Line) Dist(p Point) float64 {
	_, d := l.Nearest(p)
	return d
}

// DistSq returns the square of the distance in mm from p to the nearest point of l. It
// costs less than [Line.Dist], and rounds otherwise.
func (l Line) DistSq(p Point) float64 {
	ux, uy, vx, vy := l.B.X-l.A.X, l.B.Y-l.A.Y, p.X-l.A.X, p.Y-l.A.Y
	if along, length := ux*vx+uy*vy, ux*ux+uy*uy; along >= length {
		vx, vy = p.X-l.B.X, p.Y-l.B.Y
	} else if along > 0 {
		t := along / length
		vx, vy = vx-t*ux, vy-t*uy
	}
	return vx*vx + vy*vy
}

// Spanned returns a curve of the same kind and nearly the same shape from a to b.
func Spanned(c Curve, a, b Point) Curve {
	if a == c.Start() && b == c.End() {
		return c
	}
	switch c := c.(type) {
	case Arc:
		if a == b {
			by := a.Sub(c.From)
			return Arc{From: a, To: b, Centre: c.Centre.Add(by), Sweep: c.Sweep}
		}
		return ArcBulge(a, b, math.Tan(c.Sweep/4))
	case Cubic:
		return Cubic{A: a, B: c.B.Add(a.Sub(c.A)), C: c.C.Add(b.Sub(c.D)), D: b}
	}
	return Line{A: a, B: b}
}
