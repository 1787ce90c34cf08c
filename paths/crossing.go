package paths

import (
	"math"
	"slices"
)

// Crossing is a place where two curves meet, by its parameter on each.
type Crossing struct{ S, T float64 }

// Crossings returns where a and b meet, by rising parameter of a. An end of one
// that lies within near mm of the other counts as meeting it, so curves that
// run along one another meet where either begins or ends. Where they cross at
// so flat an angle that they stay within near of one another, a crossing may
// be left out.
//
// Lines and arcs are crossed in closed form, lines and cubics by the roots of a
// cubic; others by halving both until they are nearly straight, and Newton's
// method from there. The last is bounded, so that curves which coincide all
// along do not take for ever.
func Crossings(a, b Curve, near float64) []Crossing {
	if !a.Bounds().Grow(near).overlaps(b.Bounds()) {
		return nil
	}
	x := crosser{a: a, b: b, near: near}
	x.inside()
	for _, s := range []float64{0, 1} {
		for _, t := range paramsNear(b, a.At(s), near) {
			x.add(s, t)
		}
		for _, t := range paramsNear(a, b.At(s), near) {
			x.add(t, s)
		}
	}
	slices.SortFunc(x.found, func(p, q Crossing) int {
		if p.S != q.S {
			return sign(p.S - q.S)
		}
		return sign(p.T - q.T)
	})
	return x.found
}

func sign(v float64) int {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}

// overlaps reports whether r and s have a point in common.
func (r Rect) overlaps(s Rect) bool {
	return r.Min.X <= s.Max.X && s.Min.X <= r.Max.X && r.Min.Y <= s.Max.Y && s.Min.Y <= r.Max.Y
}

// crosser looks for the crossings of two curves.
type crosser struct {
	a, b     Curve
	near     float64
	found    []Crossing
	halvings int
}

// add keeps a crossing, moved to an end of a curve that is near, once.
func (x *crosser) add(s, t float64) {
	s, t = toEnd(x.a, s, x.near), toEnd(x.b, t, x.near)
	p, q := x.a.At(s), x.b.At(t)
	for _, f := range x.found {
		if x.a.At(f.S).Dist(p) <= x.near && x.b.At(f.T).Dist(q) <= x.near {
			return
		}
	}
	x.found = append(x.found, Crossing{s, t})
}

// toEnd returns 0 or 1 when the point of c at t is within near of that end.
func toEnd(c Curve, t, near float64) float64 {
	p := c.At(t)
	switch {
	case t < 0.5 && p.Dist(c.Start()) <= near:
		return 0
	case t > 0.5 && p.Dist(c.End()) <= near:
		return 1
	}
	return t
}

// inside finds the crossings away from the ends of the curves.
func (x *crosser) inside() {
	switch a := x.a.(type) {
	case Line:
		for _, c := range lineCrossings(a, x.b) {
			x.add(c.S, c.T)
		}
	default:
		if b, ok := x.b.(Line); ok {
			for _, c := range lineCrossings(b, x.a) {
				x.add(c.T, c.S)
			}
			return
		}
		if a, ok := x.a.(Arc); ok {
			if b, ok := x.b.(Arc); ok {
				x.arcs(a, b)
				return
			}
		}
		if !sameCurve(x.a, x.b) {
			x.halve(piece{x.a, 0, 1}, piece{x.b, 0, 1})
		}
	}
}

func sameCurve(a, b Curve) bool { return a == b || a == b.Reverse() }

// lineCrossings returns where the line meets the curve; S is on the line.
func lineCrossings(l Line, c Curve) []Crossing {
	d := l.B.Sub(l.A)
	if d == (Point{}) {
		return nil
	}
	var ts []float64
	switch c := c.(type) {
	case Line:
		v := c.B.Sub(c.A)
		if den := v.Cross(d); math.Abs(den) > 1e-12*v.Len()*d.Len() {
			ts = append(ts, l.A.Sub(c.A).Cross(d)/den)
		}
	case Arc:
		ts = arcOnLine(c, l.A, d)
	case Cubic:
		n := d.Left()
		f := func(p Point) float64 { return n.Dot(p.Sub(l.A)) }
		ts = cubicRoots(f(c.A), f(c.B), f(c.C), f(c.D))
	}
	var out []Crossing
	for _, t := range ts {
		if t < 0 || t > 1 {
			continue
		}
		if s := c.At(t).Sub(l.A).Dot(d) / d.Dot(d); s >= 0 && s <= 1 {
			out = append(out, Crossing{s, t})
		}
	}
	return out
}

// arcOnLine returns the parameters of c where its circle meets the line
// through p along d.
func arcOnLine(c Arc, p, d Point) []float64 {
	r, foot, unit := c.Radius(), c.Centre.Sub(p), d.Unit()
	mid := p.Add(unit.Mul(foot.Dot(unit)))
	h := c.Centre.Dist(mid)
	if h > r || r == 0 {
		return nil
	}
	half := math.Sqrt((r - h) * (r + h))
	return []float64{c.paramOf(mid.Add(unit.Mul(half))), c.paramOf(mid.Sub(unit.Mul(half)))}
}

// paramOf returns the parameter of the point of the circle of a in the
// direction of p, beyond 1 where the arc does not reach.
func (a Arc) paramOf(p Point) float64 {
	from, q := a.From.Sub(a.Centre), p.Sub(a.Centre)
	angle := math.Atan2(from.Cross(q), from.Dot(q))
	if a.Sweep < 0 {
		angle = -angle
	}
	if angle < 0 {
		angle += 2 * math.Pi
	}
	return angle / math.Abs(a.Sweep)
}

// arcs finds where two circles meet, if they are not the same.
func (x *crosser) arcs(a, b Arc) {
	d := b.Centre.Sub(a.Centre)
	ra, rb, l := a.Radius(), b.Radius(), d.Len()
	if l <= x.near/4 || l > ra+rb || l < math.Abs(ra-rb) {
		return
	}
	along := (l*l + (ra-rb)*(ra+rb)) / (2 * l)
	h := math.Sqrt(max(0, (ra-along)*(ra+along)))
	u := d.Mul(1 / l)
	foot := a.Centre.Add(u.Mul(along))
	for _, p := range []Point{foot.Add(u.Left().Mul(h)), foot.Sub(u.Left().Mul(h))} {
		if s, t := a.paramOf(p), b.paramOf(p); s <= 1 && t <= 1 {
			x.add(s, t)
		}
	}
}

// piece is the part of a curve between two of its parameters.
type piece struct {
	c      Curve
	t0, t1 float64
}

func (p piece) halves() (piece, piece) {
	a, b := p.c.Split(0.5)
	mid := (p.t0 + p.t1) / 2
	return piece{a, p.t0, mid}, piece{b, mid, p.t1}
}

// hull returns a box that holds the piece.
func (p piece) hull() Rect {
	if c, ok := p.c.(Cubic); ok {
		return RectOf(c.A, c.B, c.C, c.D)
	}
	return p.c.Bounds()
}

// bend returns how far the piece strays from its chord at most.
func (p piece) bend() float64 {
	if c, ok := p.c.(Cubic); ok {
		return c.flatness()
	}
	a := p.c.(Arc)
	sin := math.Sin(min(math.Abs(a.Sweep)/4, math.Pi/2))
	return 2 * a.Radius() * sin * sin
}

// maxHalvings bounds the looking for crossings of one pair.
const maxHalvings = 20_000

// halve looks for crossings of two pieces that are no lines.
func (x *crosser) halve(p, q piece) {
	if x.halvings++; x.halvings > maxHalvings {
		return
	}
	if !p.hull().overlaps(q.hull()) {
		return
	}
	flatP, flatQ := p.bend(), q.bend()
	if flatP <= x.near && flatQ <= x.near {
		if x.chords(p, q) {
			return
		}
		// A piece can be straight and yet run along itself at so uneven a speed
		// that its middle tells nothing.
		flatP, flatQ = p.chord().Len(), q.chord().Len()
	}
	if flatP >= flatQ {
		l, r := p.halves()
		x.halve(l, q)
		x.halve(r, q)
		return
	}
	l, r := q.halves()
	x.halve(p, l)
	x.halve(p, r)
}

func (p piece) chord() Point { return p.c.End().Sub(p.c.Start()) }

// chords crosses two pieces that are nearly straight. done is false where they
// cross at a place that is not found yet.
func (x *crosser) chords(p, q piece) (done bool) {
	a, b := p.c.Start(), q.c.Start()
	u, v := p.chord(), q.chord()
	den := u.Cross(v)
	if math.Abs(den) <= 1e-6*u.Len()*v.Len() {
		return true
	}
	s, t := b.Sub(a).Cross(v)/den, b.Sub(a).Cross(u)/den
	slack := x.near / 4
	if ds, dt := slack/u.Len(), slack/v.Len(); s < -ds || s > 1+ds || t < -dt || t > 1+dt {
		return true
	}
	s, t = p.t0+s*(p.t1-p.t0), q.t0+t*(q.t1-q.t0)
	s, t = x.polish(min(1, max(0, s)), min(1, max(0, t)))
	if x.a.At(s).Dist(x.b.At(t)) > x.near/2 && max(u.Len(), v.Len()) > x.near {
		return false
	}
	x.add(s, t)
	return true
}

// polish brings two parameters to the crossing that they are near, by Newton's
// method.
func (x *crosser) polish(s, t float64) (float64, float64) {
	gap := x.a.At(s).Dist(x.b.At(t))
	for range 8 {
		off := x.b.At(t).Sub(x.a.At(s))
		u, v := velocity(x.a, s), velocity(x.b, t)
		den := u.Cross(v)
		s1, t1 := s+off.Cross(v)/den, t+off.Cross(u)/den
		if !(s1 >= 0 && s1 <= 1 && t1 >= 0 && t1 <= 1) {
			break
		}
		now := x.a.At(s1).Dist(x.b.At(t1))
		if now >= gap {
			break
		}
		s, t, gap = s1, t1, now
	}
	return s, t
}

// velocity returns the derivative of c by its parameter.
func velocity(c Curve, t float64) Point {
	if b, ok := c.(Cubic); ok {
		return b.derivative(t)
	}
	return c.Tangent(t).Mul(c.Length())
}

// paramsNear returns the parameters of c, at most one for each pass, where it
// comes within near of p.
func paramsNear(c Curve, p Point, near float64) []float64 {
	if !c.Bounds().Grow(near).Contains(p) {
		return nil
	}
	switch c := c.(type) {
	case Line:
		d := c.B.Sub(c.A)
		t := 0.
		if l2 := d.Dot(d); l2 > 0 {
			t = min(1, max(0, p.Sub(c.A).Dot(d)/l2))
		}
		if c.At(t).Dist(p) <= near {
			return []float64{t}
		}
	case Arc:
		var out []float64
		for _, t := range []float64{min(1, c.paramOf(p)), 0} {
			if c.At(t).Dist(p) <= near {
				return append(out, t)
			}
		}
	case Cubic:
		return cubicNear(c, p, near, 0, 1, 48, nil)
	}
	return nil
}

// cubicNear halves c, whose parameters lead from t0 to t1, towards p.
func cubicNear(c Cubic, p Point, near, t0, t1 float64, depth int, out []float64) []float64 {
	if !RectOf(c.A, c.B, c.C, c.D).Grow(near).Contains(p) {
		return out
	}
	if depth > 0 && c.flatness() > near/8 {
		a, b := c.halves(0.5)
		mid := (t0 + t1) / 2
		return cubicNear(b, p, near, mid, t1, depth-1, cubicNear(a, p, near, t0, mid, depth-1, out))
	}
	t, d := 0.5, c.D.Sub(c.A)
	for range 4 { // towards the foot of the perpendicular
		v := c.derivative(t)
		if l2 := v.Dot(v); l2 > 0 {
			t = min(1, max(0, t+p.Sub(c.At(t)).Dot(v)/l2))
		}
	}
	if c.At(t).Dist(p) > near {
		if l2 := d.Dot(d); l2 > 0 {
			t = min(1, max(0, p.Sub(c.A).Dot(d)/l2))
		}
	}
	if c.At(t).Dist(p) <= near {
		out = append(out, t0+t*(t1-t0))
	}
	return out
}

// cubicRoots returns where the cubic with these Bernstein coefficients is zero
// between 0 and 1: it is cut where it turns, and each part that changes sign is
// halved down to the root.
func cubicRoots(a, b, c, d float64) []float64 {
	if min(a, b, c, d) > 0 || max(a, b, c, d) < 0 {
		return nil
	}
	f := func(t float64) float64 {
		u := 1 - t
		return u*u*u*a + 3*u*u*t*b + 3*u*t*t*c + t*t*t*d
	}
	stops := append([]float64{0}, stationary(a, b, c, d)...)
	stops = append(stops, 1)
	slices.Sort(stops)
	var out []float64
	for i := 1; i < len(stops); i++ {
		lo, hi := stops[i-1], stops[i]
		flo, fhi := f(lo), f(hi)
		if flo == 0 {
			out = append(out, lo)
		}
		if flo*fhi >= 0 {
			continue
		}
		for range 60 {
			mid := (lo + hi) / 2
			if (f(mid) < 0) == (flo < 0) {
				lo = mid
			} else {
				hi = mid
			}
		}
		out = append(out, (lo+hi)/2)
	}
	if f(1) == 0 {
		out = append(out, 1)
	}
	return out
}
