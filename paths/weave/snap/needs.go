package snap

import (
	"math"
	"slices"
)

// need is a spacing that a figure of diagonals needs: of two items, the first with the
// lower place, or, where b is axisOf, of a and its own mirror image. Where a is axisOf
// too, the figure is so many channels wide about a middle, which, where it is the
// mirror's, lies in a channel or midway as that width asks.
type need struct {
	a, b, count int
	middle      float64
}

// halfNeeds returns what figures need as the left half sees it. A spacing across the axis
// other than of an item and its image is none that the left half can keep: its figure
// then needs what cannot be.
func (s symmetry) halfNeeds(g given, place []int) (out [][]need) {
	right := func(i int) bool { return g.items[i].at > s.centre && !s.onAxis(i, g.items[i]) }
	for _, figure := range g.needs {
		var half []need
		for _, n := range figure {
			if n.a == axisOf {
				if math.Abs(n.middle-s.centre) <= mirrorSlack {
					half = append(half, n)
				}
				continue
			}
			a, b := place[n.a], place[n.b]
			switch {
			case !right(n.a) && !right(n.b):
				half = append(half, need{a: a, b: b, count: n.count})
			case right(n.b) && (right(n.a) || s.onAxis(n.a, g.items[n.a])):
				half = append(half, need{a: b, b: a, count: n.count})
			case a == b:
				half = append(half, need{a: a, b: axisOf, count: n.count})
			default:
				half = append(half, need{a: a, b: a, count: -1})
			}
		}
		out = append(out, half)
	}
	return out
}

// meetNeeds takes in what figures need, figure by figure, each as a whole or not at all.
func (c *chooser) meetNeeds() {
	for _, figure := range c.needs {
		m := c.bounds.mark()
		if slices.ContainsFunc(figure, func(n need) bool { return !c.meet(n) }) {
			c.bounds.rollback(m)
			c.answer.unmet++
		}
	}
}

// meet takes in one spacing that a figure needs, if it can be.
func (c *chooser) meet(n need) bool {
	switch {
	case n.count < 0:
		return false
	case n.a == axisOf:
		return c.centre == nil || (*c.centre-n.count)%2 == 0
	}
	t := tie{u: c.bundle[n.a], v: axisOf}
	if n.b != axisOf {
		t.v = c.bundle[n.b]
	}
	return c.keep(rhythm{places: []tie{t}}, limits{n.count, n.count})
}

// withNeeds returns the rhythms with limits that leave their places what figures need.
func (c *chooser) withNeeds(rhythms []rhythm) []rhythm {
	counts := map[[2]int]int{}
	for _, figure := range c.needs {
		for _, n := range figure {
			switch {
			case n.a == axisOf || n.count < 0:
			case n.b == axisOf:
				counts[[2]int{c.bundle[n.a], axisOf}] = n.count
			default:
				counts[[2]int{c.bundle[n.a], c.bundle[n.b]}] = n.count
			}
		}
	}
	for i := range rhythms {
		r := &rhythms[i]
		for _, t := range r.places {
			if q, ok := counts[[2]int{t.u, t.v}]; ok && q > 0 {
				r.least, r.most = min(r.least, q), max(r.most, q)
			}
		}
	}
	return rhythms
}
