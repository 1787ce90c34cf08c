package choice

import (
	"math"
	"slices"
)

// halfFigures returns what figures need as the left half sees it. A spacing across the
// axis other than of a line and its image is none that the left half can keep: its figure
// then needs what cannot be.
func (s symmetry) halfFigures(g Problem, place []int) (out []Figure) {
	right := func(i int) bool { return g.Lines[i].At > s.centre && !s.onAxis(i, g.Lines[i]) }
	for _, f := range g.Figures {
		var half Figure
		if f.Width > 0 && math.Abs(f.Middle-s.centre) <= MirrorSlack {
			half.Width = f.Width
		}
		for _, n := range f.Spacings {
			a, b := place[n.A], place[n.B]
			switch {
			case !right(n.A) && !right(n.B):
				half.Spacings = append(half.Spacings, Spacing{a, b, n.Count})
			case right(n.B) && (right(n.A) || s.onAxis(n.A, g.Lines[n.A])):
				half.Spacings = append(half.Spacings, Spacing{b, a, n.Count})
			case a == b:
				half.Spacings = append(half.Spacings, Spacing{a, axisOf, n.Count})
			default:
				half.Spacings = append(half.Spacings, Spacing{a, a, impossible})
			}
		}
		out = append(out, half)
	}
	return out
}

// impossible is the count of a spacing that cannot be kept.
const impossible = -1

// meet takes in what figures need, figure by figure, each as a whole or not at all.
func (c *chooser) meet() {
	for _, f := range c.Figures {
		m := c.bounds.mark()
		odd := c.centre != nil && f.Width > 0 && (*c.centre-f.Width)%2 != 0
		if odd || slices.ContainsFunc(f.Spacings, func(n Spacing) bool { return !c.meetOne(n) }) {
			c.bounds.rollback(m)
			c.answer.Unmet++
		}
	}
}

// meetOne takes in one spacing that a figure needs, if it can be.
func (c *chooser) meetOne(n Spacing) bool {
	return n.Count != impossible && c.keep(rhythm{places: []tie{c.tieOf(n)}}, limits{n.Count, n.Count})
}

// tieOf returns the variables of a spacing.
func (c *chooser) tieOf(n Spacing) tie {
	if n.B == axisOf {
		return tie{u: c.bundle[n.A], v: axisOf}
	}
	return tie{u: c.bundle[n.A], v: c.bundle[n.B]}
}

// besideFigures returns the rhythms with limits that leave their places what figures
// need.
func (c *chooser) besideFigures(rhythms []rhythm) []rhythm {
	counts := map[[2]int]int{}
	for _, f := range c.Figures {
		for _, n := range f.Spacings {
			if t := c.tieOf(n); n.Count > 0 {
				counts[[2]int{t.u, t.v}] = n.Count
			}
		}
	}
	for i := range rhythms {
		r := &rhythms[i]
		for _, t := range r.places {
			if q, ok := counts[[2]int{t.u, t.v}]; ok {
				r.least, r.most = min(r.least, q), max(r.most, q)
			}
		}
	}
	return rhythms
}
