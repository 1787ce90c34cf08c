package paths

import "math"

// Arc is a piece of a circle, or a whole one. Its ends are kept beside its
// centre so that chains of curves meet exactly; make one with [ArcAround],
// [ArcBulge] or [Circle], which keep the four fields in agreement.
type Arc struct {
	From, To, Centre Point
	// Sweep is the angle travelled, positive counter-clockwise, |Sweep| <= 2π.
	Sweep float64
}

// ArcAround returns the arc about centre with radius r that starts in
// direction angle and travels sweep radians, positive counter-clockwise. A
// sweep beyond a full turn is cut to one, and a full circle ends exactly where
// it starts.
func ArcAround(centre Point, r, angle, sweep float64) Arc {
	a := Arc{From: centre.Add(polar(r, angle)), Centre: centre, Sweep: sweep}
	if math.Abs(sweep) >= 2*math.Pi {
		a.Sweep, a.To = math.Copysign(2*math.Pi, sweep), a.From
	} else {
		a.To = centre.Add(polar(r, angle+sweep))
	}
	return a
}

// Circle returns the whole circle about centre, counter-clockwise from its
// rightmost point.
func Circle(centre Point, r float64) Arc { return ArcAround(centre, r, 0, 2*math.Pi) }

// ArcBulge returns the arc from a to b whose bulge, the tangent of a quarter
// of its sweep, is given: 1 is a half circle counter-clockwise. Ends that
// coincide, or a bulge so small that the arc stays within 1e-9 mm of its chord,
// give a line.
func ArcBulge(a, b Point, bulge float64) Curve {
	if arc, ok := BulgedArc(a, b, bulge); ok {
		return arc
	}
	return Line{a, b}
}

// BulgedArc is [ArcBulge] for who wants an arc only: it reports false where that returns
// a line.
func BulgedArc(a, b Point, bulge float64) (Arc, bool) {
	chord := b.Sub(a)
	if sagitta := math.Abs(bulge) * chord.Len() / 2; sagitta <= 1e-9 {
		return Arc{}, false
	}
	h := (1 - bulge*bulge) / (4 * bulge)
	centre := a.Lerp(b, 0.5).Add(chord.Left().Mul(h))
	if !centre.IsFinite() {
		return Arc{}, false
	}
	return Arc{From: a, To: b, Centre: centre, Sweep: 4 * math.Atan(bulge)}, true
}

// Start returns the first point.
func (a Arc) Start() Point { return a.From }

// End returns the last point.
func (a Arc) End() Point { return a.To }

// Radius returns the distance from the centre to the start, in mm.
func (a Arc) Radius() float64 { return a.From.Dist(a.Centre) }

// isShallow reports whether points are better computed from the chord than from
// the centre: the centre of a nearly straight arc is far away, and using it
// loses digits to rounding.
func (a Arc) isShallow() bool { return math.Abs(a.Sweep) <= math.Pi/2 && a.From != a.To }

// startAngle returns the direction from the centre to the start.
func (a Arc) startAngle() float64 {
	if a.isShallow() {
		return a.To.Sub(a.From).Angle() - a.Sweep/2 - math.Copysign(math.Pi/2, a.Sweep)
	}
	return a.From.Sub(a.Centre).Angle()
}

// At returns the point at t in [0, 1]; exactly the ends at 0 and 1.
func (a Arc) At(t float64) Point {
	switch t {
	case 0:
		return a.From
	case 1:
		return a.To
	}
	if a.From == a.To && math.Abs(a.Sweep) < math.Pi {
		return a.From // too short to have an inside
	}
	if a.isShallow() {
		// The chord to the point makes half the remaining angle with the whole one.
		k := math.Sin(t*a.Sweep/2) / math.Sin(a.Sweep/2)
		sin, cos := math.Sincos((t - 1) * a.Sweep / 2)
		d := a.To.Sub(a.From)
		return a.From.Add(Point{d.X*cos - d.Y*sin, d.X*sin + d.Y*cos}.Mul(k))
	}
	return a.Centre.Add(polar(a.Radius(), a.startAngle()+t*a.Sweep))
}

// Tangent returns the unit direction of travel at t in [0, 1]; zero for an arc
// without length.
func (a Arc) Tangent(t float64) Point {
	if a.Radius() == 0 || a.Sweep == 0 {
		return Point{}
	}
	d := polar(1, a.startAngle()+t*a.Sweep).Left()
	if a.Sweep < 0 {
		return d.Mul(-1)
	}
	return d
}

// Length returns the length in mm.
func (a Arc) Length() float64 {
	if a.isShallow() {
		half := math.Abs(a.Sweep) / 2
		return a.From.Dist(a.To) * half / math.Sin(half)
	}
	return a.Radius() * math.Abs(a.Sweep)
}

// Bounds returns the tight bounding box.
func (a Arc) Bounds() Rect {
	r := RectOf(a.From, a.To)
	for _, t := range a.quarters() {
		r = r.Include(a.At(min(1, max(0, t))))
	}
	return r
}

// Split cuts at t into two arcs that meet exactly.
func (a Arc) Split(t float64) (Curve, Curve) {
	p := a.At(t)
	return Arc{a.From, p, a.Centre, a.Sweep * t}, Arc{p, a.To, a.Centre, a.Sweep * (1 - t)}
}

// Reverse returns the same points travelled the other way.
func (a Arc) Reverse() Curve { return Arc{a.To, a.From, a.Centre, -a.Sweep} }

func (a Arc) isFinite() bool {
	return a.From.IsFinite() && a.To.IsFinite() && a.Centre.IsFinite() && isFinite(a.Sweep)
}

// Transform returns the image under m: an arc when m keeps shapes, else cubics
// within 1e-7 of the greater radius.
func (a Arc) Transform(m Affine) []Curve {
	if m.IsSimilarity() {
		sweep := a.Sweep
		if m.Det() < 0 {
			sweep = -sweep
		}
		return []Curve{Arc{m.Apply(a.From), m.Apply(a.To), m.Apply(a.Centre), sweep}}
	}
	out := a.Cubics()
	for i, c := range out {
		out[i] = c.Transform(m)[0]
	}
	return out
}

// Cubics returns a chain of cubics along a, each over at most a sixteenth of a
// turn, within 1e-7 of the radius.
func (a Arc) Cubics() []Curve {
	n := max(1, int(math.Ceil(math.Abs(a.Sweep)/(math.Pi/8)-1e-9)))
	step := a.Sweep / float64(n)
	k := 4. / 3 * math.Tan(step/4)
	out := make([]Curve, n)
	p := a.From
	for i := range out {
		q := a.At(float64(i+1) / float64(n))
		out[i] = Cubic{
			p, p.Add(p.Sub(a.Centre).Left().Mul(k)),
			q.Sub(q.Sub(a.Centre).Left().Mul(k)), q,
		}
		p = q
	}
	return out
}

// appendFlat keeps every vertex on the circle, so the chord's sagitta is the
// whole error.
func (a Arc) appendFlat(pts []Point, tol float64) []Point {
	n := a.chords(tol)
	for i := 1; i <= n; i++ {
		pts = append(pts, a.At(float64(i)/float64(n)))
	}
	return pts
}

// chords returns how many equal chords keep the sagitta within tol; at least
// three to a full turn, so that a small circle keeps an inside.
func (a Arc) chords(tol float64) int {
	r := a.Radius()
	step := 2 * math.Pi / 3
	if tol < r {
		step = min(step, 4*math.Asin(math.Sqrt(tol/(2*r)))) // 2·acos(1-tol/r) without the loss of figures
	}
	return min(max(1, int(math.Ceil(math.Abs(a.Sweep)/step-1e-12))), maxFlat)
}

// maxFlat bounds the vertices of one flattened curve: a design is in mm and a
// tolerance in hundredths of them, so only a wild number reaches it.
const maxFlat = 1 << 20
