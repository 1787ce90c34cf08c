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
	mostMoved   = 8    // no straight moves farther
)

// spacingWeight is what a changed spacing costs beside a moved line.
const spacingWeight = 1

// item is a straight as the choice of channels sees it: places in channels, the
// extent along the straight in channels of the other axis.
type item struct {
	extent
	weight  float64 // its length in channels; 0 for a fixed line
	fixed   bool
	channel int
}

// chosen is an answer: a channel for each item, what it costs, and the pairs of
// items that found no room to keep apart or even.
type chosen struct {
	channel         []int
	cost            float64
	crowded, uneven [][2]int
}

// chooser states the problem for one axis.
type chooser struct {
	items   []item
	bundle  []int  // by item, its variable
	first   []int  // by variable, an item of it
	centre  *int   // twice the channel of the mirror's axis, when only the left half is here
	settled []bool // by variable, whether it has a fixed line
	problem *problem
	bounds  *boundSet
	ties    []tie
	answer  chosen
}

// chooseChannels returns the best channels of items. Items in one set of tied
// share a channel whatever happens. With a centre the items are the left half of
// a symmetric design whose axis lies at half that channel.
func chooseChannels(items []item, tied *near.Sets, centre *int, pause *pause) chosen {
	c := pose(items, tied, centre)
	c.problem.pause = pause
	k := c.start()
	c.problem.solve(k)
	c.answer.cost = c.problem.cost(k)
	c.answer.channel = make([]int, len(items))
	for i := range items {
		c.answer.channel[i] = k[c.bundle[i]]
	}
	return c.answer
}

// start returns an answer that keeps the bounds, halfway between the least and
// the greatest: rounded down that is an answer too, for what two numbers differ
// by in both, they differ by halfway.
func (c *chooser) start() []int {
	k := make([]int, len(c.problem.least))
	for i := range k {
		k[i] = floorHalf(c.problem.least[i] + c.problem.most[i])
	}
	return k
}

// pose states the problem.
func pose(items []item, tied *near.Sets, centre *int) *chooser {
	c := &chooser{items: items, centre: centre}
	c.variables(tied)
	seen, apart := neighbours(c.extents(0), apartLeast+1e-9)
	c.order(seen)
	c.mirrorBounds()
	c.separate(apart)
	near, _ := neighbours(c.extents(rowChannels), apartLeast)
	c.order(near)
	c.space(seen)
	c.even()
	c.problem.bounds = strongest(c.bounds.all)
	c.problem.least, c.problem.most = c.bounds.k, c.bounds.greatest()
	return c
}

// variables makes a variable of each bundle of items that share a channel.
func (c *chooser) variables(tied *near.Sets) {
	same := tied.Clone()
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
	c.problem = &problem{terms: make([][]wanted, n)}
	sum, weight := make([]float64, n), make([]float64, n)
	for i, it := range c.items {
		b := c.bundle[i]
		sum[b] += it.at * max(it.weight, 1e-9)
		weight[b] += max(it.weight, 1e-9)
		if it.weight > 0 {
			c.problem.terms[b] = append(c.problem.terms[b], parts(it.weight, it.at))
		}
	}
	least, most := make([]int, n), make([]int, n)
	for b := range n {
		k := int(math.Round(sum[b] / weight[b]))
		least[b], most[b] = k-mostMoved, k+mostMoved
	}
	c.settled = make([]bool, n)
	for i, it := range c.items {
		if b := c.bundle[i]; it.fixed && !c.settled[b] {
			c.settled[b] = true
			least[b], most[b] = it.channel, it.channel
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

// mayJoin keeps two fixed lines in different channels from being made one.
func (c *chooser) mayJoin(i, j int) bool {
	a, b := c.items[i], c.items[j]
	return !a.fixed || !b.fixed || a.channel == b.channel
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

func floorHalf(k int) int { return int(math.Floor(float64(k) / 2)) }

// space adds the terms of the spacings between lines that see each other.
func (c *chooser) space(seen []pair) {
	for _, p := range seen {
		u, v := c.bundle[p.a], c.bundle[p.b]
		a, b := c.items[p.a], c.items[p.b]
		d := b.at - a.at
		if u == v || p.length <= 0 || a.fixed && b.fixed {
			continue
		}
		c.problem.spacings = append(c.problem.spacings, spacing{u, v, parts(spacingWeight*p.length, d)})
		if d > apartLeast && d <= evenMost && p.length >= 0.5*min(a.hi-a.lo, b.hi-b.lo) {
			c.ties = append(c.ties, tie{u: u, v: v, size: d})
		}
	}
	if c.centre != nil {
		c.spaceAtCentre()
	}
}

// spaceAtCentre adds the spacings across the mirror's axis. A line at a and its
// image are 2(centre/2 - a) apart; a change of that by 2(k - a), in one place
// where all others count twice, weighs as twice a move.
func (c *chooser) spaceAtCentre() {
	axis := float64(*c.centre) / 2
	s := c.extents(0)
	n := len(s)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range s {
		lo, hi = min(lo, x.lo), max(hi, x.hi)
	}
	s = append(s, extent{max(axis, s[n-1].at) + 1, lo, hi}) // the mirror sees what faces it
	seen, _ := neighbours(s, apartLeast)
	for _, p := range seen {
		if p.b != n || c.items[p.a].fixed || p.length <= 0 {
			continue
		}
		it := c.items[p.a]
		u := c.bundle[p.a]
		c.problem.terms[u] = append(c.problem.terms[u], parts(2*spacingWeight*p.length, it.at))
		if d := 2 * (axis - it.at); d > apartLeast && d <= evenMost && p.length >= 0.5*(it.hi-it.lo) {
			c.ties = append(c.ties, tie{u: u, v: axisOf, size: d})
		}
	}
}

// even keeps spacings that recur at one count: a whole group, or what there is
// room for of it.
func (c *chooser) even() {
	want := func(b int) float64 { return c.items[c.first[b]].at }
	for _, group := range evenTies(c.ties, len(c.first)) {
		var pairs []bound
		for _, t := range group {
			if t.v != axisOf {
				pairs = append(pairs, bound{t.u, t.v, t.count}, bound{t.v, t.u, -t.count})
			}
		}
		lost := -1
		if !fits(group, want) {
			lost = 0
		} else {
			if !c.bounds.add(pairs...) {
				lost = c.evenInParts(group)
			}
			if i, ok := c.evenAtAxis(group); !ok {
				lost = i
			}
		}
		if lost >= 0 && len(group) > 1 { // a pair alone is no rhythm to break
			u, v := group[lost].u, group[lost].v
			if v == axisOf {
				v = u
			}
			c.answer.uneven = append(c.answer.uneven, [2]int{c.first[u], c.first[v]})
		}
	}
}

// evenInParts keeps what there is room for of a group, and returns the last tie
// that there is none for.
func (c *chooser) evenInParts(group []tie) (lost int) {
	for i, t := range group {
		if t.v != axisOf && !c.bounds.add(bound{t.u, t.v, t.count}, bound{t.v, t.u, -t.count}) {
			lost = i
		}
	}
	return lost
}

// evenAtAxis puts the lines of a group that face their own image at their count
// from it, k and centre-k, and returns the first that cannot be.
func (c *chooser) evenAtAxis(group []tie) (lost int, ok bool) {
	for i, t := range group {
		if t.v != axisOf {
			continue
		}
		if k := *c.centre - t.count; k%2 != 0 || !c.bounds.limit(t.u, k/2, k/2) {
			return i, false
		}
	}
	return 0, true
}
