package choice

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

// manyPhases is the length of a chain of which not all patterns are tried.
const manyPhases = 100
