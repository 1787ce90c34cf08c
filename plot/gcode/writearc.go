package gcode

import (
	"math"

	"weftplot/paths"
	"weftplot/profiles"
)

// radiusRule is how far the distances of an arc's two ends from its centre may
// differ, in mm: NISTIR 6556, 3.5.3.2.
const radiusRule = 0.002

// arc writes a by its centre, or by its radius where the profile asks for that, from the pen's position as it was rounded to the
// end as it is rounded. An arc that a line stands for within the tolerance is
// drawn straight.
//
// Rounding can reverse a tiny arc, and for a flat one there may be no centre that
// keeps the rule. An arc that cannot be written is halved; what is left after a
// few halvings is drawn straight.
func (w *writer) arc(a paths.Arc, feed string, halvings int) error {
	to, err := w.round(a.To)
	if err != nil {
		return err
	}
	full := math.Abs(a.Sweep) >= 2*math.Pi-1e-9
	switch {
	case a.Length() < leastBudget || !full && sagitta(a) <= w.budget-math.Sqrt2*w.slip: // no bend that shows
		return w.straight(a.To, feed)
	case full:
		to = w.at
	case to == w.at && math.Abs(a.Sweep) > math.Pi:
		full = true // all but a thousandth of a circle
	}
	words, ok := "", false
	if w.m.GCode.Arcs == profiles.ByRadius && !full {
		words, ok = w.radius(a, to)
	}
	if !ok {
		words, ok = w.centre(a, to, full)
	}
	if ok {
		motion := "G3"
		if a.Sweep < 0 {
			motion = "G2"
		}
		w.move(motion, to, words, feed)
		w.exact = a.To
		return nil
	}
	if halvings == 0 {
		return w.straight(a.To, feed)
	}
	first, second := a.Split(0.5)
	if err := w.arc(first.(paths.Arc), feed, halvings-1); err != nil {
		return err
	}
	return w.arc(second.(paths.Arc), feed, halvings-1)
}

func mm(thousandths int64) float64 { return float64(thousandths) / 1000 }

// sagitta returns how far the arc stands off its chord; for more than half a
// circle, its width.
func sagitta(a paths.Arc) float64 { return a.Radius() * (1 - math.Cos(a.Sweep/2)) }

// offsets returns the I and J words; the one that is 0 is left out.
func (w *writer) offsets(i, j int64) string {
	switch {
	case j == 0:
		return "I" + w.number(i, 4)
	case i == 0:
		return "J" + w.number(j, 4)
	}
	return "I" + w.number(i, 4) + "J" + w.number(j, 4)
}

// comesBack reports whether the arc from one rounded point to another about a
// centre keeps the radius rule and stays within the budget of a, all along it.
func (w *writer) comesBack(a paths.Arc, from, to, centre paths.Point, full bool) bool {
	u, v := from.Sub(centre), to.Sub(centre)
	u2, v2 := u.Dot(u), v.Dot(v)
	if d := u2 - v2; d*d > 2*radiusRule*radiusRule*(u2+v2) {
		return false // this rejects most, and needs no root
	}
	r := u.Len()
	if r == 0 || math.Abs(r-v.Len()) > radiusRule*0.95 {
		return false
	}
	if full {
		return a.Centre.Dist(centre)+math.Abs(r-a.Radius()) <= w.budget
	}
	sweep := sweepBetween(from, to, centre, a.Sweep > 0)
	if math.Abs(sweep-a.Sweep)*max(r, a.Radius()) > 2*w.budget {
		return false
	}
	b := paths.Arc{From: from, To: to, Centre: centre, Sweep: sweep}
	return w.near(a, b) && w.near(b, a)
}

// near reports whether the circle of a is within the budget of every point of b.
// The distance of the two circles is greatest at an end of b or where it crosses
// the line through both centres.
func (w *writer) near(a, b paths.Arc) bool {
	r := a.Radius()
	off := func(p paths.Point) bool { return math.Abs(p.Dist(a.Centre)-r) > w.budget }
	if off(b.From) || off(b.To) || off(b.At(0.5)) {
		return false
	}
	between := b.Centre.Sub(a.Centre)
	if d := between.Len(); d > 0 {
		out := between.Mul(b.Radius() / d)
		for _, p := range []paths.Point{b.Centre.Add(out), b.Centre.Sub(out)} {
			turned := sweepBetween(b.From, p, b.Centre, b.Sweep > 0)
			if math.Abs(turned) < math.Abs(b.Sweep) && off(p) {
				return false
			}
		}
	}
	return true
}

// sweepBetween returns the angle travelled about centre, in (0, 2π] or
// [-2π, 0): ends that coincide make a full circle.
func sweepBetween(from, to, centre paths.Point, ccw bool) float64 {
	a, b := from.Sub(centre), to.Sub(centre)
	s := math.Atan2(a.Cross(b), a.Dot(b))
	switch {
	case from == to:
		s = 2 * math.Pi
		if !ccw {
			s = -s
		}
	case ccw && s <= 0:
		s += 2 * math.Pi
	case !ccw && s >= 0:
		s -= 2 * math.Pi
	}
	return s
}
