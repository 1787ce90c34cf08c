package choice

import (
	"cmp"
	"slices"
)

// boundSet grows a set of bounds that can all be kept at once. It holds the
// least whole numbers that keep them: what a new bound pushes is raised, and where
// that would raise a number over its limit, or itself, the bound cannot be kept.
// The cost of a bound is what it pushes (Cotton and Maler, Fast and flexible
// difference constraint propagation, SAT 2006, LNCS 4121, 170-183).
type boundSet struct {
	k, most []int     // the least numbers, and the greatest allowed
	out     [][]bound // by u
	all     []bound
	queue   []int
	old     []trail
}

// trail remembers a number to go back to.
type trail struct{ variable, value int }

// newBoundSet returns the set with only the limits least <= k <= most.
func newBoundSet(least, most []int) *boundSet {
	return &boundSet{k: slices.Clone(least), most: slices.Clone(most), out: make([][]bound, len(least))}
}

// add takes the bounds in if they can be kept beside all others, all or none.
func (s *boundSet) add(bs ...bound) bool {
	if len(bs) == 1 {
		return s.addOne(bs[0])
	}
	m := s.mark()
	for _, b := range bs {
		if !s.addOne(b) {
			s.rollback(m)
			return false
		}
	}
	return true
}

// mark remembers a state of the set to go back to.
type mark struct {
	k, most []int
	bounds  int
}

func (s *boundSet) mark() mark {
	return mark{slices.Clone(s.k), slices.Clone(s.most), len(s.all)}
}

// rollback makes the set what it was at the mark.
func (s *boundSet) rollback(m mark) {
	copy(s.k, m.k)
	copy(s.most, m.most)
	for i := len(s.all) - 1; i >= m.bounds; i-- {
		u := s.all[i].u
		s.out[u] = s.out[u][:len(s.out[u])-1]
	}
	s.all = s.all[:m.bounds]
}

// addOne takes b in. The bounds before it can be kept, so a cycle that pushes
// itself would pass through b, and raise b.u.
func (s *boundSet) addOne(b bound) bool {
	if b.u == b.v {
		return b.least <= 0
	}
	if !s.settle(b.v, s.k[b.u]+b.least, b.u) {
		return false
	}
	s.out[b.u] = append(s.out[b.u], b)
	s.all = append(s.all, b)
	return true
}

// limit narrows a number to least <= k <= most, if it can be.
func (s *boundSet) limit(v, least, most int) bool {
	if old := s.most[v]; most < old {
		s.most[v] = most
		if s.k[v] > most || !s.settle(v, least, -1) {
			s.most[v] = old
			return false
		}
		return true
	}
	return s.settle(v, least, -1)
}

// settle raises v to at least k, and all that it pushes. Where that would raise
// some number over its limit, or the number barred, all is as before.
func (s *boundSet) settle(v, k, barred int) bool {
	s.queue, s.old = s.queue[:0], s.old[:0]
	ok := s.raise(v, k)
	for i := 0; ok && i < len(s.queue); i++ {
		x := s.queue[i]
		for _, c := range s.out[x] {
			need := s.k[x] + c.least
			if need > s.k[c.v] && (c.v == barred || !s.raise(c.v, need)) {
				ok = false
				break
			}
		}
	}
	if !ok {
		for i := len(s.old) - 1; i >= 0; i-- {
			s.k[s.old[i].variable] = s.old[i].value
		}
	}
	return ok
}

// raise lifts v to at least k and reports whether its limit allows that.
func (s *boundSet) raise(v, k int) bool {
	if s.k[v] >= k {
		return true
	}
	if k > s.most[v] {
		return false
	}
	s.old = append(s.old, trail{v, s.k[v]})
	s.k[v] = k
	s.queue = append(s.queue, v)
	return true
}

// greatest returns the greatest numbers that keep the bounds.
func (s *boundSet) greatest() []int {
	k := slices.Clone(s.most)
	in := make([][]bound, len(k)) // by v
	queue := make([]int, len(k))
	for _, b := range s.all {
		in[b.v] = append(in[b.v], b)
	}
	for i := range queue {
		queue[i] = i
	}
	for ; len(queue) > 0; queue = queue[1:] {
		for _, b := range in[queue[0]] {
			if most := k[b.v] - b.least; k[b.u] > most {
				k[b.u] = most
				queue = append(queue, b.u)
			}
		}
	}
	return k
}

// strongest returns the bounds less those that another between the same
// variables implies.
func strongest(bs []bound) []bound {
	out := slices.Clone(bs)
	slices.SortFunc(out, func(a, b bound) int {
		return cmp.Or(cmp.Compare(a.u, b.u), cmp.Compare(a.v, b.v), cmp.Compare(b.least, a.least))
	})
	return slices.CompactFunc(out, func(a, b bound) bool { return a.u == b.u && a.v == b.v })
}

// restore makes the set what it was at a mark later than its state, from which
// those bounds were rolled back.
func (s *boundSet) restore(m mark, bounds []bound) {
	for _, b := range bounds {
		s.out[b.u] = append(s.out[b.u], b)
	}
	s.all = append(s.all, bounds...)
	copy(s.k, m.k)
	copy(s.most, m.most)
}
