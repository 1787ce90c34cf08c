package fit

import (
	"math"

	"weftplot/paths"
)

// goOn tries pieces from v: to where they reach, and where there are none to nearer spots.
func (s *search) goOn(v *way) {
	first := v.to.chord
	span := s.ahead(v) - first
	last := len(s.pts) - 2
	high := min(first+span+span/8, last)
	found := s.shootEnds(v, high)
	for near := first + span/2; ; near = first {
		if s.shoot(v, near, high, span) || found || near == first {
			return
		}
		high = near - 1
	}
}

// shootEnds tries pieces from v to the ends, if they are hardly farther than the chord high,
// and reports whether there are any.
func (s *search) shootEnds(v *way, high int) bool {
	last, found := len(s.pts)-2, false
	if high+(high-v.to.chord)/4 < last {
		return false
	}
	for i := range s.ends {
		s.ends[i].chord = last
		if next := s.try(v, &s.ends[i]); next != nil && s.holds(next) {
			found = true
			if d := s.done[i]; d == nil || next.size < d.size {
				s.done[i] = next
			}
		}
	}
	return found
}

// A target is a spot that a piece may reach on the way.
type target struct {
	spot  int32 // of search.spots
	worth float64
}

// shoot tries pieces from v, which may span so many chords, to spots next to the chords from
// near to high, and reports whether there are any.
func (s *search) shoot(v *way, near, high, span int) bool {
	var best [shots]target
	var hit [hits]*spot
	got := 0
	failed := [2]int{high + 1, high + 1} // the first chord where a piece failed, on either side
	for _, t := range s.targets(best[:0], v, near, high, span) {
		to, side := &s.spots[t.spot], 0
		if to.aside > 0 {
			side = 1
		}
		if to.chord >= failed[side]+span/counted || s.likeOneOf(hit[:got], to) {
			continue
		}
		next := s.try(v, to)
		if next == nil {
			failed[side] = min(failed[side], to.chord)
			continue
		}
		s.found(next)
		hit[got] = to
		if got++; got == hits {
			break
		}
	}
	return got > 0
}

// likeOneOf reports whether a spot promises no more than one that was hit.
func (s *search) likeOneOf(hit []*spot, to *spot) bool {
	for _, h := range hit {
		if h.chord >= to.chord && h.size <= to.size && math.Abs(h.aside-to.aside) < alike*s.slack {
			return true
		}
	}
	return false
}

// targets returns the spots next to the chords from near to high that are worth most, in
// that order. A spot is worth what it is far, less its characters.
func (s *search) targets(best []target, v *way, near, high, span int) []target {
	for k := near; k <= high; k++ {
		if s.of[k][1] == 0 {
			s.spotsBeside(k)
		}
	}
	rate := counted / float64(span)
	remains := float64(len(s.pts) - 1 - v.to.chord)
	need := remains / max(1, math.Ceil(remains/float64(span)-0.05))
	sizeX, sizeY := float64(1+characters(v.to.x)), float64(1+characters(v.to.y))
	for k := high; k >= near; k-- {
		gone := float64(k - v.to.chord)
		forward := rate * (min(gone, need) + further*max(0, gone-need))
		for j := s.of[k][0]; j < s.of[k][1]; j++ {
			p := &s.spots[j]
			t := target{j, forward - p.costs}
			switch x, y := p.x == v.to.x, p.y == v.to.y; {
			case x && y:
				continue
			case x:
				t.worth += sizeX
			case y:
				t.worth += sizeY
			}
			best = insert(best, t)
		}
	}
	return best
}

// insert puts a target among the best of as many as there is room for.
func insert(best []target, t target) []target {
	i := len(best)
	if i < cap(best) {
		best = append(best, t)
	} else if i--; best[i].worth >= t.worth {
		return best
	}
	for ; i > 0 && best[i-1].worth < t.worth; i-- {
		best[i] = best[i-1]
	}
	best[i] = t
	return best
}

// found adds a way to those that have not gone on, of which there is one to a spot.
func (s *search) found(v *way) {
	for i, o := range s.open {
		if o.to.x == v.to.x && o.to.y == v.to.y && o.to.chord == v.to.chord {
			if v.size < o.size {
				s.open[i] = v
			}
			return
		}
	}
	s.open = append(s.open, v)
}

// try returns the way from v to a spot by one piece, nil where there is none. Whether the
// piece keeps the tolerance is told where that is in doubt only.
func (s *search) try(v *way, to *spot) *way {
	first := v.to.chord
	a, b, between := v.to.at(), to.at(), s.pts[first+1:to.chord+1]
	bows, ok := bowsOver(a, b, between, s.tol)
	if !ok {
		return nil
	}
	if len(between) == 0 {
		foot := v.to.footWithin(s.tol)
		if s.pts[first+1].Sub(s.pts[first]).Dot(to.foot.Sub(foot)) <= 0 {
			return nil // behind
		}
	}
	p := piece{From: a, To: b}
	if bows.flat() {
		if !straight(s.assemble(v.to, *to), s.tol) {
			return nil
		}
		return v.along(p, *to, 0, s.w.tol)
	}
	p.Sweep = math.Copysign(1, -bows.low) // until it is known
	next := v.along(p, *to, 0, s.w.tol)
	next.bows, next.doubted = bows, true
	if !next.round(0) || bows.high-bows.low < tight*s.tol && !s.holds(next) {
		return nil
	}
	return next
}

// round gives the last piece of a way the radius with the fewest decimals from least on.
func (v *way) round(least int) bool {
	chord := v.piece.To.Sub(v.piece.From)
	half := math.Sqrt(chord.Dot(chord)) / 2
	for ; least < len(steps); least++ {
		if r, ok := v.bows.radius(half, steps[least]); ok {
			bend := 1 + characters(int64(math.Round(r*1000)))
			v.size += bend - v.bend
			v.bend, v.decimals, v.radius = bend, least, r
			return true
		}
	}
	return false
}

// assemble returns the points that a piece from one spot to another is to follow.
func (s *search) assemble(from, to spot) []paths.Point {
	s.piece = append(append(s.piece[:0], from.at(), from.footWithin(s.tol)), s.pts[from.chord+1:to.chord+1]...)
	s.piece = append(s.piece, to.footWithin(s.tol), to.at())
	return s.piece
}

// holds reports whether the last piece of a way keeps the tolerance; where it does not, it
// gives its radius more decimals.
func (s *search) holds(v *way) bool {
	for v.doubted {
		p, ok := v.bows.ofRadius(v.piece.From, v.piece.To, v.radius)
		v.piece, v.doubted = p, !ok || !s.traces(paths.Arc(p), v.before.to, v.to)
		if v.doubted && !v.round(v.decimals+1) {
			return false
		}
	}
	return true
}

// traces reports whether an arc from one spot to another keeps the tolerance: whether it
// [follows] the points.
func (s *search) traces(arc paths.Arc, from, to spot) bool {
	pts := s.pts[from.chord+1 : to.chord+1]
	ring := newRing(arc.Radius(), s.tol)
	side := math.Copysign(1, arc.Sweep)
	first := arc.From.Sub(arc.Centre)
	before, turned := from.footWithin(s.tol).Sub(arc.Centre), first
	ok := ring.surelyHolds(first, before)
	for _, p := range pts {
		d := p.Sub(arc.Centre)
		if !ok || !ring.surelyHolds(before, d) || side*turned.Cross(d) <= 0 || side*first.Cross(d) < 0 {
			ok = false
			break
		}
		before, turned = d, d
	}
	if ok {
		last, end := to.footWithin(s.tol).Sub(arc.Centre), arc.To.Sub(arc.Centre)
		ok = ring.surelyHolds(before, last) && ring.surelyHolds(last, end) && side*turned.Cross(end) > 0
	}
	return ok || follows(arc, s.assemble(from, to), s.tol)
}
