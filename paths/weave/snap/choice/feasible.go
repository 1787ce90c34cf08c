package choice

import "slices"

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
	raised  []trail // each raise of a least number, the oldest first
	lowered []trail // each narrowing of a greatest one
}

// trail remembers what a number was.
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

// mark remembers a state of the set to go back to: how much had been done by then. It
// holds until the set goes back to an earlier one.
type mark struct{ raised, lowered, bounds int }

func (s *boundSet) mark() mark { return mark{len(s.raised), len(s.lowered), len(s.all)} }

// rollback makes the set what it was at the mark.
func (s *boundSet) rollback(m mark) {
	undo(s.k, &s.raised, m.raised)
	undo(s.most, &s.lowered, m.lowered)
	for i := len(s.all) - 1; i >= m.bounds; i-- {
		u := s.all[i].u
		s.out[u] = s.out[u][:len(s.out[u])-1]
	}
	s.all = s.all[:m.bounds]
}

// undo takes the changes of numbers after the first ones back, the last first.
func undo(numbers []int, changes *[]trail, first int) {
	for i := len(*changes) - 1; i >= first; i-- {
		c := (*changes)[i]
		numbers[c.variable] = c.value
	}
	*changes = (*changes)[:first]
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
		s.lowered = append(s.lowered, trail{v, old})
		return true
	}
	return s.settle(v, least, -1)
}

// settle raises v to at least k, and all that it pushes. Where that would raise
// some number over its limit, or the number barred, all is as before.
func (s *boundSet) settle(v, k, barred int) bool {
	s.queue = s.queue[:0]
	before := len(s.raised)
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
		undo(s.k, &s.raised, before)
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
	s.raised = append(s.raised, trail{v, s.k[v]})
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

// strongest returns the bounds, in the order of u, less those that another between the
// same variables implies.
func (s *boundSet) strongest() []bound {
	out := make([]bound, 0, len(s.all))
	kept := make([]int, len(s.k)) // by v, 1 + where in out its bound from u is
	for _, from := range s.out {
		first := len(out)
		for _, b := range from {
			if i := kept[b.v] - 1; i >= first {
				out[i].least = max(out[i].least, b.least)
				continue
			}
			out = append(out, b)
			kept[b.v] = len(out)
		}
	}
	return out
}

// state is a state of the set to return to, whatever came between.
type state struct {
	k, most []int
	bounds  []bound // those after the mark
}

// since returns the state of the set as one to return to from the mark.
func (s *boundSet) since(m mark) state {
	return state{slices.Clone(s.k), slices.Clone(s.most), slices.Clone(s.all[m.bounds:])}
}

// restore brings the set, which is as it was at the mark of the state, to the state.
func (s *boundSet) restore(to state) {
	for _, b := range to.bounds {
		s.out[b.u] = append(s.out[b.u], b)
	}
	s.all = append(s.all, to.bounds...)
	for v, k := range to.k {
		if k != s.k[v] {
			s.raised = append(s.raised, trail{v, s.k[v]})
			s.k[v] = k
		}
		if most := to.most[v]; most != s.most[v] {
			s.lowered = append(s.lowered, trail{v, s.most[v]})
			s.most[v] = most
		}
	}
}
