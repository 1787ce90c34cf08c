package near

import (
	"math"

	"weftplot/paths"
)

// On returns the point of c that is nearest to p, as its parameter, and how far
// away it is in mm; of several that are equally near, the one with the least
// parameter, or about the least. The distance exceeds the true one by at most
// 1e-9 of it, or of the size of the curve.
//
// Lines and arcs are solved in closed form. On a cubic the nearest point is an
// end or a root of a polynomial of degree five, isolated by Descartes' rule of
// signs. That usually takes a handful of halvings, and at most a few hundred.
func On(c paths.Curve, p paths.Point) (t, dist float64) {
	switch c := c.(type) {
	case paths.Line:
		return c.Nearest(p)
	case paths.Arc:
		return onArc(c, p)
	case paths.Cubic:
		return onCubic(c, p)
	}
	panic("near: unknown kind of curve")
}

// OnStroke returns the point of s that is nearest to p, as the number of its
// curve and the parameter on that, and how far away it is in mm. The distance
// to an empty stroke is infinite. The time is linear in the curves of s.
func OnStroke(s paths.Stroke, p paths.Point) (curve int, t, dist float64) {
	dist = math.Inf(1)
	for i, c := range s {
		if at, d := On(c, p); d < dist {
			curve, t, dist = i, at, d
		}
	}
	return curve, t, dist
}

// onArc solves an arc. On the side of the circle's centre where p lies, the
// distance to the circle's points grows with the angle from p's direction; so
// the nearest point is in that direction, or else an end.
func onArc(a paths.Arc, p paths.Point) (t, dist float64) {
	dist = math.Inf(1)
	try := func(at float64) {
		if d := a.At(at).Dist(p); d < dist {
			t, dist = at, d
		}
	}
	if at := paramOn(a, p); at > 0 && at < 1 {
		try(at)
	}
	try(0)
	try(1)
	return t, dist
}

// paramOn returns the parameter of the point of a's circle in the direction of
// p; outside of 0 to 1 where the arc does not reach.
func paramOn(a paths.Arc, p paths.Point) float64 {
	if a.Sweep == 0 {
		return 0
	}
	if chord := a.To.Sub(a.From); math.Abs(a.Sweep) <= math.Pi/2 && chord != (paths.Point{}) {
		// Find the centre of a shallow arc from its chord: it is far away, so
		// its coordinates are coarse.
		half := math.Abs(a.Sweep) / 2
		away := chord.Len() / 2 / math.Tan(half) // from the chord to the centre
		u, q := chord.Unit(), p.Sub(a.From.Lerp(a.To, 0.5))
		out := q.Dot(u.Left()) // from the chord, away from the centre
		if a.Sweep > 0 {
			out = -out
		}
		return 0.5 + math.Atan2(q.Dot(u), away+out)/math.Abs(a.Sweep)
	}
	turn := p.Sub(a.Centre).Angle() - a.From.Sub(a.Centre).Angle()
	if a.Sweep < 0 {
		turn = -turn
	}
	return math.Mod(turn+4*math.Pi, 2*math.Pi) / math.Abs(a.Sweep)
}

// onCubic solves a cubic. With q(t) the curve as seen from p, the distance is
// least at an end or where q·q' changes from falling to rising: at a root of a
// polynomial of degree five. In Bernstein form on a part of the curve it has no
// root where all its coefficients have one sign, and exactly one where their
// signs change once (Descartes' rule in that form: Lane and Riesenfeld, BIT 21
// (1981) 112-117). Parts with more are halved, and dropped when the hull of
// their control points is farther away than the nearest point so far.
func onCubic(c paths.Cubic, p paths.Point) (t, dist float64) {
	s := solver{c: c, p: p, dist: math.Inf(1)}
	s.try(0)
	s.try(1)
	q := quartet{c.A.Sub(p), c.B.Sub(p), c.C.Sub(p), c.D.Sub(p)}
	s.grain = 1e-15 * max(q[0].Len(), q[1].Len(), q[2].Len(), q[3].Len()) * q.size()
	s.search(q, 0, 1, 50)
	return s.t, s.dist
}

// quartet is a cubic's control points relative to the point that the nearest
// one is sought for.
type quartet [4]paths.Point

// size returns the length of the polygon of the control points.
func (q quartet) size() float64 { return q[0].Dist(q[1]) + q[1].Dist(q[2]) + q[2].Dist(q[3]) }

func (q quartet) halves() (quartet, quartet) {
	ab, bc, cd := q[0].Lerp(q[1], 0.5), q[1].Lerp(q[2], 0.5), q[2].Lerp(q[3], 0.5)
	abc, bcd := ab.Lerp(bc, 0.5), bc.Lerp(cd, 0.5)
	m := abc.Lerp(bcd, 0.5)
	return quartet{q[0], ab, abc, m}, quartet{m, bcd, cd, q[3]}
}

// away returns a lower bound on the distance of the curve from the origin: the
// distance of the box around its control points.
func (q quartet) away() float64 {
	r := paths.RectOf(q[:]...)
	return math.Hypot(max(0, r.Min.X, -r.Max.X), max(0, r.Min.Y, -r.Max.Y))
}

// slope returns the Bernstein coefficients of q·q'/3, a third of half the
// derivative of the squared distance: products of those of q and of q'.
func (q quartet) slope() [6]float64 {
	var d [3]paths.Point
	for j := range d {
		d[j] = q[j+1].Sub(q[j])
	}
	return [6]float64{
		q[0].Dot(d[0]),
		(2*q[0].Dot(d[1]) + 3*q[1].Dot(d[0])) / 5,
		(q[0].Dot(d[2]) + 6*q[1].Dot(d[1]) + 3*q[2].Dot(d[0])) / 10,
		(3*q[1].Dot(d[2]) + 6*q[2].Dot(d[1]) + q[3].Dot(d[0])) / 10,
		(3*q[2].Dot(d[2]) + 2*q[3].Dot(d[1])) / 5,
		q[3].Dot(d[2]),
	}
}

// slopeAt returns q·q'/3 at t.
func (q quartet) slopeAt(t float64) float64 {
	u := 1 - t
	ab, bc, cd := q[0].Mul(u).Add(q[1].Mul(t)), q[1].Mul(u).Add(q[2].Mul(t)), q[2].Mul(u).Add(q[3].Mul(t))
	abc, bcd := ab.Mul(u).Add(bc.Mul(t)), bc.Mul(u).Add(cd.Mul(t))
	return abc.Mul(u).Add(bcd.Mul(t)).Dot(bcd.Sub(abc))
}

// solver looks for the nearest point of one cubic.
type solver struct {
	c     paths.Cubic
	p     paths.Point
	grain float64 // a slope below this is lost in rounding
	t     float64
	dist  float64 // the least so far
}

// try keeps the point at t if it is the nearest so far.
func (s *solver) try(t float64) {
	if d := s.c.At(t).Dist(s.p); d < s.dist || d == s.dist && t < s.t {
		s.t, s.dist = t, d
	}
}

// search looks at the part of the curve between t0 and t1.
func (s *solver) search(q quartet, t0, t1 float64, depth int) {
	if q.away() > s.dist {
		return
	}
	f := q.slope()
	changes, least, most := signChanges(f)
	switch {
	case max(-least, most) <= s.grain || depth == 0:
		s.try((t0 + t1) / 2)
	case changes == 0:
		// The distance only falls or only rises, so an end of the part is
		// nearest, and both ends have been tried.
	case changes == 1:
		if f[0] <= 0 && f[5] >= 0 { // from falling to rising
			s.try(t0 + (t1-t0)*q.root())
		}
	default:
		a, b := q.halves()
		m := (t0 + t1) / 2
		s.try(m)
		if b.away() < a.away() { // the half that is likelier to hold the nearest point first
			s.search(b, m, t1, depth-1)
			s.search(a, t0, m, depth-1)
			return
		}
		s.search(a, t0, m, depth-1)
		s.search(b, m, t1, depth-1)
	}
}

// signChanges returns how often the sign changes along the coefficients, zeros
// left out, and the least and the greatest of them.
func signChanges(f [6]float64) (changes int, least, most float64) {
	least, most = f[0], f[0]
	last := 0.
	for _, v := range f {
		least, most = min(least, v), max(most, v)
		if v*last < 0 {
			changes++
		}
		if v != 0 {
			last = math.Copysign(1, v)
		}
	}
	return changes, least, most
}

// root returns where the slope is zero. The slope is not positive at 0, not
// negative at 1, and changes its sign once between. The bracket is halved until
// neither of its ends is an end of the part, because there the slope may be
// zero but for rounding, and the sign of that means nothing. Then false
// position is used (the Illinois variant), and halving where that is slow.
func (q quartet) root() float64 {
	lo, hi := 0., 1.
	flo, fhi := q.slopeAt(0), q.slopeAt(1)
	side := 0
	for n := range 100 {
		t := (lo*fhi - hi*flo) / (fhi - flo)
		if lo == 0 || hi == 1 || n%4 == 3 || !(t > lo && t < hi) {
			t = (lo + hi) / 2
		}
		f := q.slopeAt(t)
		switch {
		case f == 0 || !(t > lo && t < hi):
			return t
		case f < 0:
			lo, flo = t, f
			if side < 0 {
				fhi /= 2
			}
			side = -1
		default:
			hi, fhi = t, f
			if side > 0 {
				flo /= 2
			}
			side = 1
		}
		if hi-lo <= 1e-16 {
			break
		}
	}
	return (lo + hi) / 2
}
