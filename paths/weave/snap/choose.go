package snap

import (
	"cmp"
	"math"
	"slices"
	"weftplot/paths/near"
)

// The bounds of what shares a channel, and of what keeps apart, in channels.
const (
	sameStep    = 0.1  // straights so near in place are meant as one line, if also ...
	sameWidth   = 0.25 // ... no two of them are farther apart than this, and ...
	sameGap     = 12   // ... the gaps between them along the line are no longer.
	alignedStep = 1e-4 // straights so near in place are one line at any distance
	apartLeast  = 0.5  // straights farther apart than this keep a channel between them
	mostMoved   = 8    // no straight moves farther, unless sizes that recur push it
	mostPushed  = 4000 // and then by no more than so many beside
)

// spacingWeight is what a changed spacing costs beside a moved line.
const spacingWeight = 1

// item is a straight as the choice of channels sees it: places in channels, the
// extent along the straight in channels of the other axis.
type item struct {
	extent
	weight  float64 // its length in channels; 0 for a fixed line
	fixed   bool
	loose   bool // it takes the nearest channel, whatever recurs
	named   bool // it goes into its channel because a person says so
	channel int
	within  *span // channels that keep its motif in the room, or nil
}

// given is what channels are chosen for: the straights of an axis.
type given struct {
	items []item
	tied  *near.Sets // those in one set share a channel whatever happens
	links []link     // pairs whose spacings are compared beside those that are seen
	room  *span      // channels that all but fixed lines keep to, or nil
	// centre is twice the channel of a mirror's axis, when only the left half is
	// here.
	centre *int
	pause  *pause
	// needs are spacings that figures of diagonals need, by figure.
	needs [][]need
}

// span is a range of channels.
type span struct{ lo, hi int }

// chosen is an answer: a channel for each item, what it costs, and what could not
// be kept.
type chosen struct {
	channel []int
	cost    float64
	crowded [][2]int // pairs of items that found no room to keep apart
	evened  []evened
	proved  bool // that no other counts and channels cost less
	refused *refused
	unmet   int  // how many figures do not get what they need
	aside   bool // its axis lies beside that of the fixed lines, which it should share
}

// refused is an item that has no room in the channel that a person named; there is room
// from one channel to another.
type refused struct{ item, lo, hi int }

// evened is a size that recurs, and what came of it.
type evened struct {
	size   float64  // in channels, as drawn
	count  int      // in channels; of the most places when uneven
	places [][2]int // the items of each; an item and itself across a mirror's axis
	lost   []int    // which of the places got another count
	why    reason   // that some are lost
}

// reason says why a size that recurs has no one count.
type reason int

const (
	noRoom    reason = iota // fixed lines and what lies between leave no room
	otherSize               // other sizes that recur want it otherwise
)

// chooser states the problem for one axis.
type chooser struct {
	given
	bundle  []int  // by item, its variable
	first   []int  // by variable, an item of it
	settled []bool // by variable, whether it has a fixed line
	problem *problem
	bounds  *boundSet
	answer  chosen

	rhythms []rhythm // that are kept, with the counts they have so far
	counts  []int
}

// chooseChannels returns the best channels of the items. With a centre these are
// the left half of a symmetric design whose axis lies at half that channel.
func chooseChannels(g given) chosen {
	c := pose(g)
	s := c.solve()
	c.answer.cost, c.answer.proved = s.cost, s.proved
	c.answer.channel = make([]int, len(c.items))
	for i := range c.items {
		c.answer.channel[i] = s.best[c.bundle[i]]
	}
	for i, r := range c.rhythms {
		c.answer.evened = append(c.answer.evened, c.tell(r, s.counts[i]))
	}
	return c.answer
}

// solve looks for the best counts and channels, from the counts that were found to
// fit.
func (c *chooser) solve() *search {
	s := &search{chooser: c, rhythms: c.rhythms, most: *c.problem.work + searchWork, proved: true}
	fitting, all := make([]limits, len(c.counts)), make([]limits, len(c.counts))
	for i, q := range c.counts {
		fitting[i], all[i] = limits{q, q}, limits{c.rhythms[i].least, c.rhythms[i].most}
	}
	s.run(fitting, nil)
	if len(c.rhythms) > 0 && s.best != nil {
		s.run(all, s.best)
	}
	if s.best == nil { // the pause ended it
		s.best, s.counts = make([]int, len(c.first)), c.counts
	}
	return s
}

// tell returns what came of a rhythm that is kept.
func (c *chooser) tell(r rhythm, count int) evened {
	e := evened{size: r.size, count: count}
	for _, t := range r.places {
		e.places = append(e.places, [2]int{t.a, t.b})
	}
	return e
}

// pose states the problem.
func pose(g given) *chooser {
	c := &chooser{given: g}
	c.variables()
	c.problem.pause = g.pause
	seen, apart := neighbours(c.extents(0), apartLeast+1e-9)
	ties := c.ties(seen, g.links)
	c.limit(len(ties))
	c.order(seen)
	c.mirrorBounds()
	c.roomBounds()
	c.separate(apart)
	near, _ := neighbours(c.extents(rowChannels), apartLeast)
	c.order(near)
	c.nameBounds()
	c.meetNeeds()
	c.space(seen)
	c.even(c.withNeeds(recurring(ties)))
	return c
}

// variables makes a variable of each bundle of items that share a channel.
func (c *chooser) variables() {
	same := c.tied.Clone()
	c.bundleNear(same)
	number := make([]int, len(c.items))
	c.bundle = make([]int, len(c.items))
	for i := range c.items {
		r := same.Find(i)
		if r == i {
			number[i] = len(c.first)
			c.first = append(c.first, i)
		}
		c.bundle[i] = number[r]
	}
	n := len(c.first)
	c.problem = &problem{terms: make([][]wanted, n), work: new(int)}
	c.settled = make([]bool, n)
	for i, it := range c.items {
		b := c.bundle[i]
		c.settled[b] = c.settled[b] || it.fixed
		if it.weight > 0 {
			c.problem.terms[b] = append(c.problem.terms[b], parts(it.weight, it.at))
		}
	}
}

// limit starts the bounds: fixed lines keep their channels, and no other moves
// farther than mostMoved, and a channel for each place of sizes that recur.
func (c *chooser) limit(places int) {
	n := len(c.first)
	sum, weight := make([]float64, n), make([]float64, n)
	for i, it := range c.items {
		b := c.bundle[i]
		sum[b] += it.at * max(it.weight, 1e-9)
		weight[b] += max(it.weight, 1e-9)
	}
	far := mostMoved + min(places, mostPushed) + c.farthestNamed()
	least, most := make([]int, n), make([]int, n)
	for b := range n {
		k := int(math.Round(sum[b] / weight[b]))
		least[b], most[b] = k-far, k+far
	}
	for i := len(c.items) - 1; i >= 0; i-- { // where two are fixed, the first counts
		if it := c.items[i]; it.fixed {
			least[c.bundle[i]], most[c.bundle[i]] = it.channel, it.channel
		}
	}
	c.bounds = newBoundSet(least, most)
}

// bundleNear joins the items that are meant as one line.
func (c *chooser) bundleNear(same *near.Sets) {
	order := make([]int, len(c.items))
	for i := range order {
		order[i] = i
	}
	at := func(i int) float64 { return c.items[order[i]].at }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(c.items[a].at, c.items[b].at) })
	for i := 0; i < len(order); {
		j := i + 1
		for j < len(order) && at(j)-at(j-1) <= sameStep && at(j)-at(i) <= sameWidth {
			if at(j)-at(j-1) <= alignedStep && c.mayJoin(order[j-1], order[j]) {
				same.Join(order[j-1], order[j])
			}
			j++
		}
		c.bundleRow(order[i:j], same)
		i = j
	}
}

// mayJoin keeps two lines whose channels are settled, and differ, from being made one.
func (c *chooser) mayJoin(i, j int) bool {
	a, b := c.items[i], c.items[j]
	return !a.fixed && !a.named || !b.fixed && !b.named || a.channel == b.channel
}

// bundleRow joins those of nearly one place that follow each other closely.
func (c *chooser) bundleRow(row []int, same *near.Sets) {
	byStart := slices.Clone(row)
	slices.SortStableFunc(byStart, func(a, b int) int { return cmp.Compare(c.items[a].lo, c.items[b].lo) })
	for i, last := 1, byStart[0]; i < len(byStart); i++ {
		next := byStart[i]
		if c.items[next].lo-c.items[last].hi <= sameGap && c.mayJoin(last, next) {
			same.Join(last, next)
		}
		if c.items[next].hi > c.items[last].hi {
			last = next
		}
	}
}

// extents returns the items grown by so many channels at both ends.
func (c *chooser) extents(grow float64) []extent {
	out := make([]extent, len(c.items))
	for i, it := range c.items {
		out[i] = extent{it.at, it.lo - grow, it.hi + grow}
	}
	return out
}

// order requires neighbours to keep their order.
func (c *chooser) order(seen []pair) {
	for _, p := range c.distinct(seen) {
		c.bounds.add(bound{p.a, p.b, 0})
	}
}

// separate requires a channel between pairs, first between lines and what is
// fixed, so that where room is short it is short between lines.
func (c *chooser) separate(apart []pair) {
	for _, p := range apart {
		a, b := c.items[p.a], c.items[p.b]
		if c.bundle[p.a] == c.bundle[p.b] && min(a.hi, b.hi) > max(a.lo, b.lo) {
			c.answer.crowded = append(c.answer.crowded, [2]int{p.a, p.b}) // one line by what joins them
		}
	}
	pairs := c.distinct(apart)
	for _, fixed := range []bool{true, false} {
		for _, p := range pairs {
			if (c.settled[p.a] || c.settled[p.b]) != fixed {
				continue
			}
			if !c.bounds.add(bound{p.a, p.b, 1}) {
				c.answer.crowded = append(c.answer.crowded, [2]int{c.first[p.a], c.first[p.b]})
			}
		}
	}
}

// distinct turns pairs of items into pairs of variables, each once.
func (c *chooser) distinct(ps []pair) []pair {
	var out []pair
	for _, p := range ps {
		if a, b := c.bundle[p.a], c.bundle[p.b]; a != b {
			out = append(out, pair{a, b, p.length})
		}
	}
	return merge(out)
}

// mirrorBounds keeps the left half on its side: a line more than half a channel
// from its own image stays a channel from it. By order, that parts it from every
// other image too.
func (c *chooser) mirrorBounds() {
	if c.centre == nil {
		return
	}
	for i, it := range c.items {
		if it.fixed {
			continue
		}
		most := floorHalf(*c.centre)
		if float64(*c.centre)-2*it.at > apartLeast+1e-9 {
			most = floorHalf(*c.centre - 1)
		}
		if !c.bounds.limit(c.bundle[i], math.MinInt, most) {
			c.answer.crowded = append(c.answer.crowded, [2]int{i, i})
		}
	}
}

// nameBounds puts the items that a person named into their channels. All other bounds
// are differences and limits, so what each variable may be is a range without gaps.
func (c *chooser) nameBounds() {
	for i, it := range c.items {
		if !it.named {
			continue
		}
		b := c.bundle[i]
		if lo, hi := c.bounds.k[b], c.bounds.greatest()[b]; (it.channel < lo || it.channel > hi) && c.answer.refused == nil {
			c.answer.refused = &refused{i, lo, hi}
		}
		c.bounds.limit(b, it.channel, it.channel)
		c.settled[b] = true
	}
}

// farthestNamed returns how many channels a named item moves at most.
func (c *chooser) farthestNamed() int {
	most := 0.
	for _, it := range c.items {
		if it.named {
			most = max(most, math.Abs(float64(it.channel)-it.at))
		}
	}
	return int(math.Ceil(min(most, mostPushed)))
}

func floorHalf(k int) int { return int(math.Floor(float64(k) / 2)) }

// roomBounds keeps lines in the room, and as far from its sides as what of their
// motif lies beyond them.
func (c *chooser) roomBounds() {
	if c.room == nil {
		return
	}
	for b := range c.first {
		if !c.settled[b] {
			c.bounds.limit(b, c.room.lo, c.room.hi)
		}
	}
	for i, it := range c.items {
		if it.within != nil && !it.fixed {
			c.bounds.limit(c.bundle[i], it.within.lo, it.within.hi)
		}
	}
}

// space adds the terms of the spacings between lines that see each other.
func (c *chooser) space(seen []pair) {
	for _, p := range seen {
		u, v := c.bundle[p.a], c.bundle[p.b]
		a, b := c.items[p.a], c.items[p.b]
		if u != v && p.length > 0 && !(a.fixed && b.fixed) {
			c.problem.spacings = append(c.problem.spacings, spacing{u, v, parts(spacingWeight*p.length, b.at-a.at)})
		}
	}
	if c.centre == nil {
		return
	}
	// A line at a and its image are 2(centre/2 - a) apart; a change of that by
	// 2(k - a), in one place where all others count twice, weighs as twice a move.
	for _, p := range c.facing() {
		u := c.bundle[p.a]
		c.problem.terms[u] = append(c.problem.terms[u], parts(2*spacingWeight*p.length, c.items[p.a].at))
	}
}

// facing returns the items that see their own image across the mirror's axis, each
// as the first of a pair.
func (c *chooser) facing() []pair {
	axis := float64(*c.centre) / 2
	s := c.extents(0)
	n := len(s)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range s {
		lo, hi = min(lo, x.lo), max(hi, x.hi)
	}
	s = append(s, extent{max(axis, s[n-1].at) + 1, lo, hi}) // the mirror sees what faces it
	seen, _ := neighbours(s, apartLeast)
	return slices.DeleteFunc(seen, func(p pair) bool { return p.b != n || c.items[p.a].fixed || p.length <= 0 })
}
