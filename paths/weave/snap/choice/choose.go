package choice

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths/cores"
	"weftplot/paths/near"
)

// The bounds of what shares a channel, of what keeps its order or a distance, and of
// how far a line moves, in channels.
const (
	// SameWidth is the greatest distance between lines that are meant as one.
	SameWidth = 0.25
	// Apart is the distance up to which lines may come to share a channel. Those
	// farther apart keep a channel between them.
	Apart = 0.5
	// Reach is how far along its length, beyond both its ends, a line keeps its order
	// with others; two lines keep theirs within twice that.
	Reach = 8
	// MostMoved is how far a line moves at most, where no sizes that recur push it.
	MostMoved = 8

	sameStep    = 0.1  // lines so near in place, one to the next, are meant as one, if ...
	sameGap     = 12   // ... the gaps between them along the line are no longer than this
	alignedStep = 1e-4 // lines so near in place are one at any distance along
	mostPushed  = 4000 // sizes that recur push a line by no more than so many channels
)

// spacingWeight is what a changed spacing costs beside a moved line.
const spacingWeight = 1

// chooser states the problem for one axis.
type chooser struct {
	Problem
	bundle    []int  // by line, its variable
	first     []int  // by variable, a line of it
	settled   []bool // by variable, whether it has a fixed line
	programme *programme
	bounds    *boundSet
	ground    *boundSet // while rhythms are taken in, the bounds without theirs
	answer    Answer

	rhythms []rhythm // that are kept, with the counts they have so far
	counts  []int
}

// chooseChannels returns the best channels of the lines, whether or not they are their
// own mirror image. With a centre these are
// the left half of a symmetric design whose axis lies at half that channel.
func chooseChannels(g Problem) Answer {
	c := pose(g)
	s := c.solve()
	c.answer.Cost, c.answer.Proved = s.cost, s.proved
	c.answer.Channel = make([]int, len(c.Lines))
	for i := range c.Lines {
		c.answer.Channel[i] = s.best[c.bundle[i]]
	}
	for i, r := range c.rhythms {
		c.answer.Recurring = append(c.answer.Recurring, c.tell(r, s.counts[i]))
	}
	return c.answer
}

// solve looks for the best counts and channels, from the counts that were found to
// fit.
func (c *chooser) solve() *search {
	s := &search{chooser: c, rhythms: c.rhythms, most: *c.programme.work + searchWork, proved: true}
	fitting, all := make([]limits, len(c.counts)), make([]limits, len(c.counts))
	for i, q := range c.counts {
		fitting[i], all[i] = limits{q, q}, limits{c.rhythms[i].least, c.rhythms[i].most}
	}
	s.run(fitting, nil)
	if len(c.rhythms) > 0 && s.best != nil {
		s.run(all, s.best)
	}
	if s.best == nil { // it was stopped
		s.best, s.counts = make([]int, len(c.first)), c.counts
	}
	return s
}

// tell returns what came of a rhythm that is kept.
func (c *chooser) tell(r rhythm, count int) Recurring {
	e := Recurring{Size: r.size, Count: count}
	for _, t := range r.places {
		e.Places = append(e.Places, [2]int{t.a, t.b})
	}
	return e
}

// pose states the problem.
func pose(g Problem) *chooser {
	c := &chooser{Problem: g}
	c.variables()
	c.programme.stopped = c.stopped
	seen, apart, beside := c.neighbours()
	ties := c.evenOutOfCrowds(c.ties(seen, g.Links))
	c.limit(len(ties))
	c.order(seen)
	c.mirrorBounds()
	c.roomBounds()
	c.separate(c.outOfCrowds(apart, seen))
	c.order(beside)
	c.nameBounds()
	c.meet()
	c.space(seen)
	c.even(c.besideFigures(recurring(ties)))
	return c
}

// neighbours returns the lines that see each other, those of them to be kept apart, and
// those near enough along their length to keep their order.
func (c *chooser) neighbours() (seen, apart, beside []Pair) {
	cores.EachAsking(2, nil, func(i int, _ func() bool) {
		if i == 0 {
			seen, apart = Neighbours(c.extents(0), Apart+1e-9)
		} else {
			beside, _ = Neighbours(c.extents(Reach), Apart)
		}
	})
	return seen, apart, beside
}

// variables makes a variable of each bundle of lines that share a channel.
func (c *chooser) variables() {
	same := c.Tied.Clone()
	c.bundleNear(same)
	number := make([]int, len(c.Lines))
	c.bundle = make([]int, len(c.Lines))
	for i := range c.Lines {
		r := same.Find(i)
		if r == i {
			number[i] = len(c.first)
			c.first = append(c.first, i)
		}
		c.bundle[i] = number[r]
	}
	n := len(c.first)
	c.programme = &programme{terms: make([][]wanted, n), place: c.ranks(), forces: &forces{}, work: new(int)}
	c.settled = make([]bool, n)
	for i, it := range c.Lines {
		b := c.bundle[i]
		c.settled[b] = c.settled[b] || it.Fixed
		if it.Weight > 0 {
			c.programme.terms[b] = append(c.programme.terms[b], parts(it.Weight, it.At))
		}
	}
}

// ranks returns the rank of each variable in the order of their places.
func (c *chooser) ranks() []int {
	order := make([]int, len(c.first))
	for v := range order {
		order[v] = v
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(c.Lines[c.first[a]].At, c.Lines[c.first[b]].At) })
	rank := make([]int, len(order))
	for i, v := range order {
		rank[v] = i
	}
	return rank
}

// limit starts the bounds: fixed lines keep their channels, and no other moves
// farther than mostMoved, and a channel for each place of sizes that recur.
func (c *chooser) limit(places int) {
	n := len(c.first)
	sum, weight := make([]float64, n), make([]float64, n)
	for i, it := range c.Lines {
		b := c.bundle[i]
		sum[b] += it.At * max(it.Weight, 1e-9)
		weight[b] += max(it.Weight, 1e-9)
	}
	far := MostMoved + min(places, mostPushed) + c.farthestNamed()
	least, most := make([]int, n), make([]int, n)
	for b := range n {
		k := int(math.Round(sum[b] / weight[b]))
		least[b], most[b] = k-far, k+far
	}
	for i := len(c.Lines) - 1; i >= 0; i-- { // where two are fixed, the first counts
		if it := c.Lines[i]; it.Fixed {
			least[c.bundle[i]], most[c.bundle[i]] = it.Channel, it.Channel
		}
	}
	c.bounds = newBoundSet(least, most)
}

// bundleNear joins the lines that are meant as one line.
func (c *chooser) bundleNear(same *near.Sets) {
	order := make([]int, len(c.Lines))
	for i := range order {
		order[i] = i
	}
	at := func(i int) float64 { return c.Lines[order[i]].At }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(c.Lines[a].At, c.Lines[b].At) })
	for i := 0; i < len(order); {
		j := i + 1
		for j < len(order) && at(j)-at(j-1) <= sameStep && at(j)-at(i) <= SameWidth {
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
	a, b := c.Lines[i], c.Lines[j]
	return !a.Fixed && !a.Named || !b.Fixed && !b.Named || a.Channel == b.Channel
}

// bundleRow joins those of nearly one place that follow each other closely.
func (c *chooser) bundleRow(row []int, same *near.Sets) {
	byStart := slices.Clone(row)
	slices.SortStableFunc(byStart, func(a, b int) int { return cmp.Compare(c.Lines[a].Lo, c.Lines[b].Lo) })
	for i, last := 1, byStart[0]; i < len(byStart); i++ {
		next := byStart[i]
		if c.Lines[next].Lo-c.Lines[last].Hi <= sameGap && c.mayJoin(last, next) {
			same.Join(last, next)
		}
		if c.Lines[next].Hi > c.Lines[last].Hi {
			last = next
		}
	}
}

// extents returns the lines grown by so many channels at both ends.
func (c *chooser) extents(grow float64) []Extent {
	out := make([]Extent, len(c.Lines))
	for i, it := range c.Lines {
		out[i] = Extent{it.At, it.Lo - grow, it.Hi + grow}
	}
	return out
}

// order requires neighbours to keep their order.
func (c *chooser) order(seen []Pair) {
	for _, p := range c.distinct(seen) {
		c.bounds.add(bound{p.A, p.B, 0})
	}
}

// separate requires a channel between pairs, first between lines and what is
// fixed, so that where room is short it is short between lines.
func (c *chooser) separate(apart []Pair) {
	for _, p := range apart {
		a, b := c.Lines[p.A], c.Lines[p.B]
		if c.bundle[p.A] == c.bundle[p.B] && min(a.Hi, b.Hi) > max(a.Lo, b.Lo) {
			c.answer.Crowded = append(c.answer.Crowded, [2]int{p.A, p.B}) // one line by what joins them
		}
	}
	pairs := c.distinct(apart)
	for _, fixed := range []bool{true, false} {
		for _, p := range pairs {
			if (c.settled[p.A] || c.settled[p.B]) != fixed || c.settled[p.A] && c.settled[p.B] {
				continue // two that are fixed stay as they are; of a half, they may lie on opposite sides
			}
			if !c.bounds.add(bound{p.A, p.B, 1}) {
				c.answer.Crowded = append(c.answer.Crowded, [2]int{c.first[p.A], c.first[p.B]})
			}
		}
	}
}

// distinct turns pairs of lines into pairs of variables, each once.
func (c *chooser) distinct(ps []Pair) []Pair {
	var out []Pair
	for _, p := range ps {
		if a, b := c.bundle[p.A], c.bundle[p.B]; a != b {
			out = append(out, Pair{a, b, p.Length})
		}
	}
	return merge(out)
}
