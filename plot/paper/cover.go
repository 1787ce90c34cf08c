package paper

import (
	"encoding/binary"
	"iter"
	"math/bits"
	"slices"
)

// set is a set of small numbers.
type set []uint64

func newSet(n int) set { return make(set, (n+63)/64) }

func (s set) add(i int) { s[i/64] |= 1 << (i % 64) }

// common returns how many s and t have in common.
func (s set) common(t set) int {
	n := 0
	for i := range s {
		n += bits.OnesCount64(s[i] & t[i])
	}
	return n
}

// less takes t out of s.
func (s set) less(t set) {
	for i := range s {
		s[i] &^= t[i]
	}
}

// key is a text that only equal sets share.
func (s set) key() string {
	b := make([]byte, 0, 8*len(s))
	for _, w := range s {
		b = binary.LittleEndian.AppendUint64(b, w)
	}
	return string(b)
}

func (s set) empty() bool { return s.first() < 0 }

// first returns the least number in s, -1 for none.
func (s set) first() int {
	for i, w := range s {
		if w != 0 {
			return i*64 + bits.TrailingZeros64(w)
		}
	}
	return -1
}

// numbers yields what is in s, the least first.
func (s set) numbers() iter.Seq[int] {
	return func(yield func(int) bool) {
		for i, w := range s {
			for ; w != 0; w &= w - 1 {
				if !yield(i*64 + bits.TrailingZeros64(w)) {
					return
				}
			}
		}
	}
}

// within reports whether all of s is in t.
func (s set) within(t set) bool {
	for i := range s {
		if s[i]&^t[i] != 0 {
			return false
		}
	}
	return true
}

// cover is a problem of set cover: the fewest of the sets that together hold
// every number below n.
type cover struct {
	n    int
	sets []set
	of   [][]int32 // the sets that hold a number
	// near reports whether two sets may have something to do with each other.
	near func(a, b int) bool
}

func newCover(n int, sets []set) *cover {
	c := &cover{n: n, sets: sets, of: make([][]int32, n), near: func(a, b int) bool { return true }}
	for k, s := range sets {
		for i := range s.numbers() {
			c.of[i] = append(c.of[i], int32(k))
		}
	}
	return c
}

// fewest returns sets that cover everything, by their index. The search is bounded in
// looks at a set, so that the same input gives the same answer. They are the fewest
// there can be when exact is true: the search came to its end. Otherwise they are
// what a greedy choice (Chvátal, Math. of Operations Research 4, 1979) and the
// exchange of two for one and of three for two leave.
func (c *cover) fewest(steps int) (picked []int, exact bool) {
	s := &search{cover: c, left: steps}
	s.best = s.exchange(c.greedy())
	s.left = steps
	s.look(c.all(), nil)
	slices.Sort(s.best)
	return s.best, s.left > 0
}

// all is the set of every number.
func (c *cover) all() set {
	s := newSet(c.n)
	for i := range c.n {
		s.add(i)
	}
	return s
}

// greedy takes the set that covers most of what is left, again and again.
func (c *cover) greedy() []int {
	todo := c.all()
	var picked []int
	for !todo.empty() {
		best, most := -1, 0
		for k, s := range c.sets {
			if n := s.common(todo); n > most {
				best, most = k, n
			}
		}
		if best < 0 {
			return picked // what no set holds cannot be covered
		}
		picked = append(picked, best)
		todo.less(c.sets[best])
	}
	return picked
}

// uncovered is what the picked sets but those to leave out do not hold.
func (c *cover) uncovered(picked []int, without ...int) set {
	todo := c.all()
	for i, k := range picked {
		if !slices.Contains(without, i) {
			todo.less(c.sets[k])
		}
	}
	return todo
}

// exchange puts one set in place of two, or two in place of three, for as long as
// that can be done and the steps last.
func (s *search) exchange(picked []int) []int {
	for again := true; again; {
		again = false
		for i := 0; i < len(picked) && !again; i++ {
			for j := i + 1; j < len(picked) && !again && s.left > 0; j++ {
				if !s.near(picked[i], picked[j]) {
					continue
				}
				if with, ok := s.instead(s.uncovered(picked, i, j), 1); ok {
					picked, again = replaced(picked, with, i, j), true
				}
				for k := j + 1; k < len(picked) && !again && s.left > 0; k++ {
					if !s.near(picked[i], picked[k]) && !s.near(picked[j], picked[k]) {
						continue
					}
					if with, ok := s.instead(s.uncovered(picked, i, j, k), 2); ok {
						picked, again = replaced(picked, with, i, j, k), true
					}
				}
			}
		}
	}
	return picked
}

// instead covers todo with at most n sets, if it can be done.
func (s *search) instead(todo set, n int) ([]int, bool) {
	if _, bound := s.bound(todo); bound > n {
		return nil, false
	}
	return s.within(todo, n)
}

// replaced returns picked with the new sets in place of those at the given places.
func replaced(picked, with []int, without ...int) []int {
	var out []int
	for i, k := range picked {
		if !slices.Contains(without, i) {
			out = append(out, k)
		}
	}
	return append(out, with...)
}

// within covers todo with at most n sets, n being 0, 1 or 2.
func (s *search) within(todo set, n int) ([]int, bool) {
	i := todo.first()
	switch {
	case i < 0:
		return nil, true
	case n == 0:
		return nil, false
	}
	for _, k := range s.of[i] {
		s.left--
		if n == 1 {
			if todo.within(s.sets[k]) {
				return []int{int(k)}, true
			}
			continue
		}
		rest := slices.Clone(todo)
		rest.less(s.sets[k])
		if more, ok := s.within(rest, n-1); ok {
			return append(more, int(k)), true
		}
	}
	return nil, false
}

// search is a branch and bound over the sets of the number that the fewest sets
// hold.
type search struct {
	*cover
	best []int
	left int // steps
}

// look covers todo on top of picked, if that can be done with fewer sets than the
// best.
func (s *search) look(todo set, picked []int) {
	if s.left <= 0 {
		return
	}
	if todo.empty() {
		s.best = slices.Clone(picked)
		return
	}
	branch, bound := s.bound(todo)
	if len(picked)+bound >= len(s.best) {
		return
	}
	options := slices.Clone(s.of[branch])
	slices.SortStableFunc(options, func(a, b int32) int { return s.sets[b].common(todo) - s.sets[a].common(todo) })
	for _, k := range options {
		s.left--
		rest := slices.Clone(todo)
		rest.less(s.sets[k])
		s.look(rest, append(picked, int(k)))
	}
}

// bound returns the number with the fewest sets among todo, and how many sets are
// needed at least: numbers of which no two are in one set need a set each.
func (s *search) bound(todo set) (branch, bound int) {
	rest := slices.Clone(todo)
	branch = -1
	for {
		i := s.scarcest(rest)
		if i < 0 {
			return branch, bound
		}
		if branch < 0 {
			branch = i
		}
		bound++
		for _, k := range s.of[i] {
			rest.less(s.sets[k])
		}
		s.left -= len(s.of[i])
	}
}

// scarcest returns the number in todo that the fewest sets hold, -1 for none.
func (s *search) scarcest(todo set) int {
	best := -1
	for i := range todo.numbers() {
		if best < 0 || len(s.of[i]) < len(s.of[best]) {
			best = i
		}
	}
	return best
}
