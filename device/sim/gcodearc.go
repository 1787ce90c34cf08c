package sim

import (
	"math"

	"weftplot/paths"
)

// arc returns the move along an arc to a point, by centre or by radius
// (RS-274/NGC, section 3.5.3).
func (s *state) arc(b *block, to paths.Point) ([]step, int) {
	if s.feed == 0 {
		return nil, badNumber
	}
	from := s.at
	var centre paths.Point
	if r, ok := b.get('R'); ok {
		c, ok := centreOf(from, to, s.length(r), s.motion == 3)
		if !ok {
			return nil, badArc
		}
		centre = c
	} else {
		i, hasI := b.get('I')
		j, hasJ := b.get('J')
		if !hasI && !hasJ {
			return nil, badArc
		}
		centre = paths.Point{X: s.length(i), Y: s.length(j)}
		if !s.absIJ {
			centre = centre.Add(from)
		}
	}
	r0, r1 := from.Dist(centre), to.Dist(centre)
	if r0 == 0 || math.Abs(r0-r1) > s.mismatch() {
		return nil, badArc
	}
	sweep := math.Mod(to.Sub(centre).Angle()-from.Sub(centre).Angle(), 2*math.Pi)
	if s.motion == 3 && sweep <= 0 {
		sweep += 2 * math.Pi
	}
	if s.motion == 2 && sweep >= 0 {
		sweep -= 2 * math.Pi
	}
	s.at = to
	return []step{{curve: paths.Arc{From: from, To: to, Centre: centre, Sweep: sweep}, stop: -1}}, 0
}

// mismatch returns by how much the two radii of an arc may differ, mm.
func (s *state) mismatch() float64 {
	if s.inch {
		return 0.0002*25.4 + 1e-9
	}
	return 0.002 + 1e-9
}

// centreOf returns the centre of the arc of radius r between two points; a
// negative radius asks for the longer way.
func centreOf(a, b paths.Point, r float64, ccw bool) (paths.Point, bool) {
	chord := b.Sub(a)
	half := chord.Len() / 2
	if half == 0 || half > math.Abs(r)*(1+1e-6)+0.001 {
		return paths.Point{}, false
	}
	h := math.Sqrt(max(0, r*r-half*half))
	if (r > 0) != ccw {
		h = -h
	}
	return a.Lerp(b, 0.5).Add(chord.Left().Unit().Mul(h)), true
}
