package choice

import (
	"math"
	"slices"
)

// mirrorBounds keeps the left half on its side: a line more than half a channel
// from its own image stays a channel from it. By order, that parts it from every
// other image too.
func (c *chooser) mirrorBounds() {
	if c.centre == nil {
		return
	}
	for i, it := range c.Lines {
		if it.Fixed {
			continue
		}
		most := floorHalf(*c.centre)
		if float64(*c.centre)-2*it.At > Apart+1e-9 {
			most = floorHalf(*c.centre - 1)
		}
		if !c.bounds.limit(c.bundle[i], math.MinInt, most) {
			c.answer.Crowded = append(c.answer.Crowded, [2]int{i, i})
		}
	}
}

// nameBounds puts the lines that a person named into their channels. All other bounds
// are differences and limits, so what each variable may be is a range without gaps.
func (c *chooser) nameBounds() {
	for i, it := range c.Lines {
		if !it.Named {
			continue
		}
		b := c.bundle[i]
		if lo, hi := c.bounds.k[b], c.bounds.greatest(c.programme.downwards())[b]; (it.Channel < lo || it.Channel > hi) && c.answer.Refused == nil {
			c.answer.Refused = &Refusal{i, lo, hi}
		}
		c.bounds.limit(b, it.Channel, it.Channel)
		c.settled[b] = true
	}
}

// farthestNamed returns how many channels a named line moves at most.
func (c *chooser) farthestNamed() int {
	most := 0.
	for _, it := range c.Lines {
		if it.Named {
			most = max(most, math.Abs(float64(it.Channel)-it.At))
		}
	}
	return int(math.Ceil(min(most, mostPushed)))
}

func floorHalf(k int) int { return int(math.Floor(float64(k) / 2)) }

// roomBounds keeps lines in the room, and as far from its sides as what of their
// motif lies beyond them.
func (c *chooser) roomBounds() {
	if c.Room == nil {
		return
	}
	for b := range c.first {
		if !c.settled[b] {
			c.bounds.limit(b, c.Room.Lo, c.Room.Hi)
		}
	}
	for i, it := range c.Lines {
		if it.Within != nil && !it.Fixed {
			c.bounds.limit(c.bundle[i], it.Within.Lo, it.Within.Hi)
		}
	}
}

// space adds the terms of the spacings between lines that see each other.
func (c *chooser) space(seen []Pair) {
	for _, p := range seen {
		u, v := c.bundle[p.A], c.bundle[p.B]
		a, b := c.Lines[p.A], c.Lines[p.B]
		if u != v && p.Length > 0 && !(a.Fixed && b.Fixed) {
			c.programme.spacings = append(c.programme.spacings, spacing{u, v, parts(spacingWeight*p.Length, b.At-a.At)})
		}
	}
	if c.centre == nil {
		return
	}
	// A line at a and its image are 2(centre/2 - a) apart; a change of that by
	// 2(k - a), in one place where all others count twice, weighs as twice a move.
	for _, p := range c.facing() {
		u := c.bundle[p.A]
		c.programme.terms[u] = append(c.programme.terms[u], parts(2*spacingWeight*p.Length, c.Lines[p.A].At))
	}
}

// facing returns the lines that see their own image across the mirror's axis, each
// as the first of a pair.
func (c *chooser) facing() []Pair {
	axis := float64(*c.centre) / 2
	s := c.extents(0)
	n := len(s)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range s {
		lo, hi = min(lo, x.Lo), max(hi, x.Hi)
	}
	s = append(s, Extent{max(axis, s[n-1].At) + 1, lo, hi}) // the mirror sees what faces it
	seen, _ := Neighbours(s, Apart)
	return slices.DeleteFunc(seen, func(p Pair) bool { return p.B != n || c.Lines[p.A].Fixed || p.Length <= 0 })
}
