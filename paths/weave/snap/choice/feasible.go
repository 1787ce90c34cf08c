package choice

import "slices"

// boundSet grows a set of bounds that can all be kept at once. It holds the
// least whole numbers that keep them: what a new bound pushes is raised, and where
// that would raise a number over its limit, or itself, the bound cannot be kept.
// The cost of a bound is what it pushes (Cotton and Maler, Fast and flexible
// difference constraint propagation, SAT 2006, LNCS 4121, 170-183).
type boundSet struct {
	k, most []int    // the least numbers, and the greatest allowed
	out     [][]push // by u
	all     []bound
	owners  []int32 // by bound
	// owner is whose the bounds and limits are that are taken in now. A refusal is put
	// down to the owners of what stands in the way (blame), where anybody asks.
	owner int32
	blame *blame

	cause   []int32 // by variable, what raised it last (causeOfLimit)
	bars    []int32 // by variable, the owner of its greatest number
	queue   []int32
	raised  []trail // each raise of a least number, the oldest first
	lowered []trail // each narrowing of a greatest one
}

// push is a bound as seen from its first variable.
type push struct{ v, least, bound int32 }

// trail remembers what a number was, and its cause or its owner.
type trail struct {
	value          int
	variable, from int32
}

// nobody owns the bounds that are never to go.
const nobody int32 = -1

// blame is the owners of bounds and limits that together cannot be kept beside what was
// refused. As long as none of them gives way, no change of others makes room for it.
type blame map[int32]bool

// newBoundSet returns the set with only the limits least <= k <= most.
func newBoundSet(least, most []int) *boundSet {
	n := len(least)
	none := slices.Repeat([]int32{causeOfLimit(nobody)}, n)
	return &boundSet{
		k: slices.Clone(least), most: slices.Clone(most), out: make([][]push, n),
		owner: nobody, cause: none, bars: slices.Repeat([]int32{nobody}, n),
	}
}

// clone returns a set that holds what s holds now; what was before is forgotten.
func (s *boundSet) clone() *boundSet {
	out := newBoundSet(s.k, s.most)
	out.all, out.owners = slices.Clone(s.all), slices.Clone(s.owners)
	out.cause, out.bars = slices.Clone(s.cause), slices.Clone(s.bars)
	flat := make([]push, 0, len(s.all))
	for u, of := range s.out {
		first := len(flat)
		flat = append(flat, of...)
		out.out[u] = flat[first:len(flat):len(flat)]
	}
	return out
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
	undo(s.k, s.cause, &s.raised, m.raised)
	undo(s.most, s.bars, &s.lowered, m.lowered)
	for i := len(s.all) - 1; i >= m.bounds; i-- {
		u := s.all[i].u
		s.out[u] = s.out[u][:len(s.out[u])-1]
	}
	s.all, s.owners = s.all[:m.bounds], s.owners[:m.bounds]
}

// undo takes the changes of numbers after the first ones back, the last first.
func undo(numbers []int, from []int32, changes *[]trail, first int) {
	for i := len(*changes) - 1; i >= first; i-- {
		c := (*changes)[i]
		numbers[c.variable], from[c.variable] = c.value, c.from
	}
	*changes = (*changes)[:first]
}

// addOne takes b in. The bounds before it can be kept, so a cycle that pushes
// itself would pass through b, and raise b.u.
func (s *boundSet) addOne(b bound) bool {
	if b.u == b.v {
		return b.least <= 0
	}
	i := int32(len(s.all))
	if !s.settle(b.v, s.k[b.u]+b.least, i, b.u) {
		return false
	}
	s.out[b.u] = append(s.out[b.u], push{int32(b.v), int32(b.least), i})
	s.all, s.owners = append(s.all, b), append(s.owners, s.owner)
	return true
}

// limit narrows a number to least <= k <= most, if it can be.
func (s *boundSet) limit(v, least, most int) bool {
	cause := causeOfLimit(s.owner)
	if old := s.most[v]; most < old {
		if s.k[v] > most {
			s.charge(v)
			return false
		}
		s.most[v] = most
		if !s.settle(v, least, cause, -1) {
			s.most[v] = old
			return false
		}
		s.lowered = append(s.lowered, trail{old, int32(v), s.bars[v]})
		s.bars[v] = s.owner
		return true
	}
	return s.settle(v, least, cause, -1)
}

// causeOfLimit returns the cause that a limit is, by its owner. It is negative: others
// are bounds, by their number.
func causeOfLimit(owner int32) int32 { return -2 - owner }

// settle raises v to at least k, and all that it pushes. Where that would raise
// some number over its limit, or the number barred, all is as before.
func (s *boundSet) settle(v, k int, cause int32, barred int) bool {
	s.queue = s.queue[:0]
	before := len(s.raised)
	ok := s.raise(v, k, cause)
	if !ok {
		s.refuse(v, barred)
	}
	for i := 0; ok && i < len(s.queue); i++ {
		x := s.queue[i]
		for _, c := range s.out[x] {
			need := s.k[x] + int(c.least)
			if v := int(c.v); need > s.k[v] && (v == barred || !s.raise(v, need, c.bound)) {
				s.charge(int(x))
				s.accuse(s.owners[c.bound])
				s.refuse(v, barred)
				ok = false
				break
			}
		}
	}
	if !ok {
		undo(s.k, s.cause, &s.raised, before)
	}
	return ok
}

// raise lifts v to at least k and reports whether its limit allows that.
func (s *boundSet) raise(v, k int, cause int32) bool {
	if s.k[v] >= k {
		return true
	}
	if k > s.most[v] {
		return false
	}
	s.raised = append(s.raised, trail{s.k[v], int32(v), s.cause[v]})
	s.k[v], s.cause[v] = k, cause
	s.queue = append(s.queue, int32(v))
	return true
}

// refuse puts down who is to blame that v is not raised, beside those who raise it: a
// ring of bounds that comes back to barred is all there is to it; elsewhere it is the
// limit of v, and what has barred, where the raising begins, as high as it is.
func (s *boundSet) refuse(v, barred int) {
	if s.blame == nil || v == barred {
		return
	}
	s.accuse(s.bars[v])
	if barred >= 0 {
		s.charge(barred)
	}
}

// charge accuses all that has v as high as it is: one bound after the other, back to a
// limit, or to the bound that is taken in now.
func (s *boundSet) charge(v int) {
	for s.blame != nil {
		c := s.cause[v]
		if c < 0 {
			s.accuse(-2 - c)
			return
		}
		if int(c) == len(s.all) {
			return
		}
		s.accuse(s.owners[c])
		v = s.all[c].u
	}
}

func (s *boundSet) accuse(owner int32) {
	if s.blame != nil && owner != nobody {
		(*s.blame)[owner] = true
	}
}

// greatest returns the greatest numbers that keep the bounds. It is soonest done in an
// order of the variables in which few are pushed by those after them.
func (s *boundSet) greatest(order []int) []int {
	k := slices.Clone(s.most)
	into := groupsOf(len(s.all), len(k), func(i int) int { return s.all[i].v })
	queue, queued := slices.Clone(order), make([]bool, len(k))
	for v := range queued {
		queued[v] = true
	}
	for ; len(queue) > 0; queue = queue[1:] {
		v := queue[0]
		queued[v] = false
		for _, i := range into.of(v) {
			b := &s.all[i]
			if most := k[v] - b.least; k[b.u] > most {
				k[b.u] = most
				if !queued[b.u] {
					queue, queued[b.u] = append(queue, b.u), true
				}
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
		for _, p := range from {
			b := s.all[p.bound]
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
