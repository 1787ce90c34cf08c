package choice

import (
	"math"
	"slices"
)

// pattern takes in the most regular counts for a chain of places, if there are any
// that can be kept: those that come of rounding evenly spaced lines to channels.
func (c *chooser) pattern(chain []tie, size float64) (bs []bound, ls []limitedTo, counts []int, ok bool) {
	if n := len(chain); chain[n-1].v == axisOf {
		return c.patternAtAxis(chain, size)
	}
	if len(chain) < 2 {
		return nil, nil, nil, false
	}
	step := size
	first, last := chain[0].u, chain[len(chain)-1].v
	held := c.settled[first] && c.settled[last]
	if held {
		step = float64(c.bounds.k[last]-c.bounds.k[first]) / float64(len(chain))
	}
	m := c.bounds.mark()
	for _, phase := range c.phases(chain, step, held) {
		bs, counts = nil, nil
		for i, t := range chain {
			q := int(math.Floor(float64(i+1)*step+phase)) - int(math.Floor(float64(i)*step+phase))
			counts = append(counts, q)
			bs = append(bs, bound{t.u, t.v, q}, bound{t.v, t.u, -q})
		}
		if c.bounds.add(bs...) {
			return bs, nil, counts, true
		}
		c.bounds.rollback(m)
	}
	return nil, nil, nil, false
}

// phases returns the phases of patterns that are tried. A chain that ends at the
// mirror's axis rounds its distances from there, so that with its image it is the
// most regular pattern too.
func (c *chooser) phases(chain []tie, step float64, held bool) (out []float64) {
	if last := chain[len(chain)-1].v; c.centre != nil && c.settled[last] && 2*c.bounds.k[last] == *c.centre {
		whole := float64(len(chain)) * step
		out = append(out, math.Ceil(whole)-whole+0.5-1e-9)
	}
	const phases = 8
	for p := range phases {
		phase := float64(p)/phases + 0.5
		if held { // between the ends all patterns are turns of one
			phase = (float64(p) + 0.5) / phases
		}
		out = append(out, phase)
	}
	if len(chain) > manyPhases {
		return out
	}
	// All patterns there are: from one to the next a line's place passes a whole number.
	breaks := []float64{0, 1}
	for i := range len(chain) + 1 {
		at := float64(i) * step
		breaks = append(breaks, math.Ceil(at)-at)
	}
	slices.Sort(breaks)
	for i := 1; i < len(breaks); i++ {
		if breaks[i]-breaks[i-1] > 1e-9 {
			out = append(out, (breaks[i-1]+breaks[i])/2)
		}
	}
	return out
}

// withinOne takes in that the places of a chain that has no pattern differ by one count
// at most, if that can be kept.
func (c *chooser) withinOne(chain []tie, size float64) []bound {
	for _, least := range slices.Compact([]int{int(math.Floor(size)), int(math.Ceil(size)) - 1}) {
		var bs []bound
		for _, t := range chain {
			if t.v != axisOf {
				bs = append(bs, bound{t.u, t.v, least}, bound{t.v, t.u, -least - 1})
			}
		}
		if least >= 1 && c.bounds.add(bs...) {
			return bs
		}
	}
	return nil
}

// patternAtAxis is pattern for a chain that ends at the mirror's axis: every line's
// distance from its image is rounded to what the axis allows.
func (c *chooser) patternAtAxis(chain []tie, size float64) (bs []bound, ls []limitedTo, counts []int, ok bool) {
	n := len(chain)
	if first := chain[0].u; c.settled[first] {
		size = float64(*c.centre-2*c.bounds.k[first]) / float64(2*n-1)
	}
	counts = make([]int, n)
	parity := *c.centre & 1
	across := func(j int) int { // of the line j places from the axis and its image
		return 2*int(math.Round((float64(2*j+1)*size-float64(parity))/2)) + parity
	}
	counts[n-1] = across(0)
	last := chain[n-1].u
	ls = []limitedTo{{last, (*c.centre - across(0)) / 2}}
	for j := 1; j < n; j++ {
		t := chain[n-1-j]
		q := (across(j) - across(j-1)) / 2
		counts[n-1-j] = q
		bs = append(bs, bound{t.u, t.v, q}, bound{t.v, t.u, -q})
	}
	m := c.bounds.mark()
	if across(0) < 1 || !c.bounds.limit(last, ls[0].k, ls[0].k) || !c.bounds.add(bs...) {
		c.bounds.rollback(m)
		return nil, nil, nil, false
	}
	return bs, ls, counts, true
}

// someEqual takes in the count that the most of the places not done can share, and
// notes those that do.
func (c *chooser) someEqual(r rhythm, done map[tie]int) []bound {
	var best []bound
	var bestTies, places []tie
	for _, t := range r.places {
		if _, ok := done[t]; !ok && t.v != axisOf {
			places = append(places, t)
		}
	}
	count := 0
	m := c.bounds.mark()
	for _, q := range r.counts() {
		var bs []bound
		var ts []tie
		for i, t := range places {
			if len(ts)+len(places)-i <= len(bestTies) {
				break
			}
			if c.bounds.add(bound{t.u, t.v, q}, bound{t.v, t.u, -q}) {
				bs, ts = append(bs, bound{t.u, t.v, q}, bound{t.v, t.u, -q}), append(ts, t)
			}
		}
		c.bounds.rollback(m)
		if len(ts) > len(bestTies) {
			best, bestTies, count = bs, ts, q
		}
	}
	for _, t := range bestTies {
		done[t] = count
	}
	c.bounds.add(best...)
	return best
}
