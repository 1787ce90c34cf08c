package choice

import (
	"math"
)

// count is a recurring size with the limits of its count at a node of the search,
// or with the count itself where both are the same.
type limits struct{ lo, hi int }

// keep requires the places of r to have a count within the limits, and reports
// whether the set can keep that; where it cannot, the set is to be rolled back.
func (c *chooser) keep(r rhythm, l limits) bool {
	for _, t := range r.places {
		if t.v == axisOf {
			// centre-2k lies within the limits.
			if !c.bounds.limit(t.u, -floorHalf(-(*c.centre - l.hi)), floorHalf(*c.centre-l.lo)) {
				return false
			}
		} else if !c.bounds.addOne(bound{t.u, t.v, l.lo}) || !c.bounds.addOne(bound{t.v, t.u, -l.hi}) {
			return false
		}
	}
	return true
}

// spread returns the least and the greatest count of the places of r at k, and
// their mean.
func (c *chooser) spread(r rhythm, k []int) (lo, hi int, mean float64) {
	lo, hi = math.MaxInt, math.MinInt
	for _, t := range r.places {
		q := 0
		if t.v == axisOf {
			q = *c.centre - 2*k[t.u]
		} else {
			q = k[t.v] - k[t.u]
		}
		lo, hi, mean = min(lo, q), max(hi, q), mean+float64(q)/float64(len(r.places))
	}
	return lo, hi, mean
}

// search looks for the counts of rhythms, and the channels with them, that cost
// least: branch and bound over the limits of the counts. At a node each place of a
// rhythm keeps within the limits by itself, which is a problem without counts,
// solved to its optimum; no answer with one count in all places costs less.
type search struct {
	*chooser
	rhythms []rhythm
	most    int  // work of the problem at which it ends
	any     bool // the first answer will do

	best   []int // channels by variable, nil as long as there are none
	cost   float64
	counts []int
	proved bool // that nothing costs less
	looked int  // nodes
}

// run searches from limits that hold the counts. It ends when the budget is used
// up; then the answer is the best that was found.
func (s *search) run(from []limits, hint []int) {
	type node struct {
		limits []limits
		hint   []int
		least  float64 // no answer in it costs less
	}
	stack := []node{{from, hint, math.Inf(-1)}}
	for len(stack) > 0 {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if s.best != nil && n.least >= s.cost-1e-9*(1+s.cost) {
			continue
		}
		if s.looked > 0 && *s.programme.work >= s.most || s.stopped() {
			s.proved = false
			return
		}
		s.looked++
		k, cost, ok := s.node(n.limits, n.hint)
		if !ok || s.best != nil && cost >= s.cost-1e-9*(1+s.cost) {
			continue
		}
		worst, split := s.worst(k)
		if worst < 0 {
			s.take(k, cost)
			if s.any {
				return
			}
			continue
		}
		low, high := append([]limits(nil), n.limits...), append([]limits(nil), n.limits...)
		at := int(math.Floor(split))
		low[worst].hi, high[worst].lo = at, at+1
		first, second := node{low, k, cost}, node{high, k, cost}
		if split-math.Floor(split) > 0.5 {
			first, second = second, first
		}
		stack = append(stack, second, first)
	}
}

// worst returns the rhythm with the most places whose counts differ at k, and
// where to part its limits; -1 where all are even.
func (s *search) worst(k []int) (index int, split float64) {
	index = -1
	for i, r := range s.rhythms {
		if lo, hi, mean := s.spread(r, k); lo < hi && (index < 0 || len(r.places) > len(s.rhythms[index].places)) {
			index, split = i, min(mean, float64(hi)-1e-9)
		}
	}
	return index, split
}

// take keeps an answer that is better than those before.
func (s *search) take(k []int, cost float64) {
	s.best, s.cost, s.counts = k, cost, make([]int, len(s.rhythms))
	for i, r := range s.rhythms {
		s.counts[i], _, _ = s.spread(r, k)
	}
}

// node returns the channels that cost least within the limits, and whether there
// are any. The hint is an answer to begin near, or nil.
func (s *search) node(l []limits, hint []int) (k []int, cost float64, ok bool) {
	m := s.bounds.mark()
	defer s.bounds.rollback(m)
	for i, r := range s.rhythms {
		if !s.keep(r, l[i]) {
			return nil, 0, false
		}
	}
	p := *s.programme
	stated := s.bounds.strongest()
	p.bounds = needed(stated, p.place)
	p.implied = len(stated) - len(p.bounds)
	p.least, p.most = append([]int(nil), s.bounds.k...), s.bounds.greatest(p.downwards())
	k = p.near(hint)
	p.solve(k)
	return k, p.cost(k), true
}

// near returns an answer that keeps the bounds, near the hint. Without a hint it
// lies halfway between the least and the greatest, which keep them: rounded down
// halfway keeps them too, for what two numbers differ by in both, they differ by
// halfway.
func (p *programme) near(hint []int) []int {
	k := make([]int, len(p.least))
	for i := range k {
		if k[i] = floorHalf(p.least[i] + p.most[i]); hint != nil {
			k[i] = min(p.most[i], max(p.least[i], hint[i]))
		}
	}
	if hint == nil {
		return k
	}
	// What the bounds push up from here stays under the greatest answer.
	out := groupsOf(len(p.bounds), len(k), func(i int) int { return p.bounds[i].u })
	for queue := p.upwards(); len(queue) > 0; queue = queue[1:] {
		u := queue[0]
		for _, i := range out.of(u) {
			b := &p.bounds[i]
			if need := k[u] + b.least; need > k[b.v] {
				k[b.v] = need
				queue = append(queue, b.v)
			}
		}
	}
	return k
}

// The work of the search for counts, for all of an axis and for making room for one
// more rhythm; see problem.work.
const (
	searchWork = 1_000_000
	repairWork = 500_000
)
