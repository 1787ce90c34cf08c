package paths

import "math"

// part is the part of a curve between two of its parameters.
type part struct {
	c      Curve
	t0, t1 float64
}

func (p part) halves() (part, part) {
	a, b := p.c.Split(0.5)
	mid := (p.t0 + p.t1) / 2
	return part{a, p.t0, mid}, part{b, mid, p.t1}
}

// hull returns a box that holds the part.
func (p part) hull() Rect {
	if c, ok := p.c.(Cubic); ok {
		return RectOf(c.A, c.B, c.C, c.D)
	}
	return p.c.Bounds()
}

// bend returns an upper bound on how far the part strays from its chord.
func (p part) bend() float64 {
	if c, ok := p.c.(Cubic); ok {
		return c.flatness()
	}
	a := p.c.(Arc)
	sin := math.Sin(min(math.Abs(a.Sweep)/4, math.Pi/2))
	return 2 * a.Radius() * sin * sin
}

// maxHalvings bounds the search for the crossings of one pair.
const maxHalvings = 20_000

// halve looks for crossings of two parts that are not lines.
func (x *crosser) halve(p, q part) {
	if x.halvings++; x.halvings > maxHalvings {
		return
	}
	if !p.hull().Overlaps(q.hull()) {
		return
	}
	flatP, flatQ := p.bend(), q.bend()
	if flatP <= x.near && flatQ <= x.near {
		if x.chords(p, q) {
			return
		}
		// A part can be straight and its parameter still advance so unevenly
		// that the middle parameter is nowhere near the middle of the part.
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

func (p part) chord() Point { return p.c.End().Sub(p.c.Start()) }

// chords crosses two parts that are nearly straight. done is false where they
// may cross but the place is not found yet.
func (x *crosser) chords(p, q part) (done bool) {
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
