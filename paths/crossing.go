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
// method from there. The halving is bounded, so that curves which coincide over
// a length do not take for ever.
func Crossings(a, b Curve, near float64) []Crossing {
	found, _ := CountedCrossings(a, b, near)
	return found
}

// CountedCrossings returns what [Crossings] does, and how often curves were halved for
// it: a few times where they cross, thousands of times where they run along one another.
func CountedCrossings(a, b Curve, near float64) (found []Crossing, halvings int) {
	if !a.Bounds().Grow(near).Overlaps(b.Bounds()) {
		return nil, 0
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
	return x.found, x.halvings
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
			x.halve(part{x.a, 0, 1}, part{x.b, 0, 1})
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
