package choice

import (
	"math"
	"slices"
)

// even takes in the sizes that recur, those with the most places first: each gets
// one count everywhere, the nearest to its size that can be kept beside all that
// was taken in before. Where none can be, the counts before it are looked for
// anew. Where that fails too, its places get the most regular pattern.
//
// Two sets are kept while this goes on: the ground, of all bounds but those of rhythms,
// and the ground with the rhythms that were taken in.
func (c *chooser) even(rhythms []rhythm) {
	c.ground, c.bounds = c.bounds, c.bounds.clone()
	repairs, other := repairWork, newOtherCounts()
	for _, r := range rhythms {
		if c.stopped() {
			return
		}
		against := blame{}
		c.bounds.blame = &against
		q, ok := c.firstCount(r)
		c.bounds.blame = nil
		if ok {
			c.rhythms, c.counts = append(c.rhythms, r), append(c.counts, q)
			continue
		}
		if c.repairOne(r, against, other) || c.repair(r, &repairs) {
			c.bounds = c.ground.clone()
			c.keepAll()
			clear(other.vain)
			continue
		}
		c.regular(r)
	}
	c.bounds = c.ground
}

// firstCount takes r in, after the rhythms so far, with the nearest count that can be
// kept.
func (c *chooser) firstCount(r rhythm) (count int, ok bool) {
	c.bounds.owner = int32(len(c.rhythms))
	defer func() { c.bounds.owner = nobody }()
	m := c.bounds.mark()
	for _, q := range r.counts() {
		if c.keep(r, limits{q, q}) {
			return q, true
		}
		c.bounds.rollback(m)
	}
	return 0, false
}

// onGround does something with the ground in place of the bounds, and leaves the ground
// as it was.
func (c *chooser) onGround(do func() bool) bool {
	all := c.bounds
	c.bounds = c.ground
	m := c.bounds.mark()
	ok := do()
	c.bounds.rollback(m)
	c.bounds = all
	return ok
}

// repairTries bounds how many counts repairOne tries for an axis.
const repairTries = 400

// otherCounts are those that repairOne tries in place of those that rhythms have.
type otherCounts struct {
	tries int // that are left
	// By rhythm and count: those that cannot be kept whatever else is to be, as long as
	// other rhythms keep their counts.
	vain map[[2]int]bool
}

func newOtherCounts() *otherCounts {
	return &otherCounts{repairTries, map[[2]int]bool{}}
}

// repairOne finds another count of one of the rhythms so far that makes room for r. It
// can only be one of those that stood against it.
func (c *chooser) repairOne(r rhythm, against blame, other *otherCounts) bool {
	for i := range c.rhythms {
		for _, q := range c.rhythms[i].counts() {
			if q == c.counts[i] || other.tries == 0 {
				continue
			}
			other.tries--
			change := [2]int{i, q}
			if !against[int32(i)] || other.vain[change] {
				continue
			}
			was, count := c.counts[i], 0
			c.counts[i] = q
			if c.onGround(func() (ok bool) {
				if !c.keepAll() {
					other.vain[change] = true
					return false
				}
				count, ok = c.firstCount(r)
				return ok
			}) {
				c.rhythms, c.counts = append(c.rhythms, r), append(c.counts, count)
				return true
			}
			c.counts[i] = was
		}
	}
	return false
}

// keepAll takes in the rhythms so far with their counts, if they can be kept.
func (c *chooser) keepAll() bool {
	defer func() { c.bounds.owner = nobody }()
	for i, r := range c.rhythms {
		c.bounds.owner = int32(i)
		if !c.keep(r, limits{c.counts[i], c.counts[i]}) {
			return false
		}
	}
	return true
}

// repair looks for counts of all rhythms so far that leave room for r, within what
// is left of the budget.
func (c *chooser) repair(r rhythm, budget *int) bool {
	if *budget <= 0 {
		return false
	}
	all := append(c.rhythms[:len(c.rhythms):len(c.rhythms)], r)
	wide := make([]limits, len(all))
	for i, r := range all {
		wide[i] = limits{r.least, r.most}
	}
	if !c.onGround(func() bool { return c.mayFit(r, wide) }) {
		*budget -= nodeCuts * (len(c.first) + len(c.programme.spacings) + len(c.ground.all))
		return false
	}
	before := *c.programme.work
	s := &search{chooser: c, rhythms: all, most: before + *budget/4, any: true}
	ok := c.onGround(func() bool {
		s.run(wide, nil)
		return s.best != nil
	})
	*budget -= *c.programme.work - before + len(c.first)
	if ok {
		c.rhythms, c.counts = all, s.counts
	}
	return ok
}

// nodeCuts is how many cuts a node of the search takes, about. A search that was found to
// be in vain costs as much of the budget as its first node would.
const nodeCuts = 5

// mayFit reports whether r has a count that can be kept beside all others within their
// limits, though their places differ. The first limits are theirs.
func (c *chooser) mayFit(r rhythm, wide []limits) bool {
	for i, other := range c.rhythms {
		if !c.keep(other, wide[i]) {
			return false
		}
	}
	_, ok := c.firstCount(r)
	return ok
}

// regular gives the places of a rhythm that has no one count the most regular
// pattern there is room for: counts that differ by one at most and are spread
// evenly. What follows in no row, or finds no room so, shares a count as far as it
// can. The pattern becomes part of the ground, which later searches keep.
func (c *chooser) regular(r rhythm) {
	told := c.tell(r, 0)
	told.Why = c.why(r)
	// The pattern is held against the rhythms taken in so far with their counts.
	var pattern []bound
	var limited []limitedTo
	done := map[tie]int{}
	for _, chain := range r.chains() {
		bs, ls, counts, ok := c.pattern(chain, r.size)
		if !ok {
			pattern = append(pattern, c.withinOne(chain, r.size)...)
			continue
		}
		pattern, limited = append(pattern, bs...), append(limited, ls...)
		for i, t := range chain {
			done[t] = counts[i]
		}
	}
	if len(done) < len(r.places) {
		more := c.someEqual(r, done)
		pattern = append(pattern, more...)
	}
	votes := map[int]int{}
	for _, q := range done {
		votes[q]++
	}
	for q, n := range votes {
		if n > votes[told.Count] || n == votes[told.Count] && q < told.Count {
			told.Count = q
		}
	}
	for i, t := range r.places {
		if q, ok := done[t]; !ok || q != told.Count {
			told.Lost = append(told.Lost, i)
		}
	}
	if len(told.Lost) > 0 {
		c.answer.Recurring = append(c.answer.Recurring, told)
	}
	c.found(pattern, limited)
}

// limitedTo is a variable that a pattern holds at a channel.
type limitedTo struct{ v, k int }

// found makes a pattern, which was taken in beside the rhythms, part of the ground.
func (c *chooser) found(pattern []bound, limited []limitedTo) {
	for _, l := range limited {
		c.ground.limit(l.v, l.k, l.k)
	}
	for _, b := range pattern {
		c.ground.addOne(b)
	}
}

// why returns the reason that r has no one count: whether it would have one without
// the other rhythms.
func (c *chooser) why(r rhythm) Reason {
	if c.onGround(func() (ok bool) { _, ok = c.firstCount(r); return ok }) {
		return OtherSizes
	}
	return NoRoom
}

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

// manyPhases is the length of a chain of which not all patterns are tried.
const manyPhases = 100

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
