package weave

import (
	"cmp"
	"slices"
)

// bounds grows a set of difference bounds that can all be kept at once, with
// whole numbers k that keep them, in the manner of Cotton and Maler (Fast and
// flexible difference constraint propagation, SAT 2006, LNCS 4121, 170-183).
type boundSet struct {
	k     []int
	out   [][]bound // by u
	all   []bound
	queue []int
	old   []trail
}

// trail remembers a value to go back to.
type trail struct{ variable, value int }

func newBoundSet(k []int) *boundSet { return &boundSet{k: k, out: make([][]bound, len(k))} }

// add takes the bounds in if they can be kept beside all others, all or none.
func (s *boundSet) add(bs ...bound) bool {
	for i, b := range bs {
		if !s.addOne(b) {
			for j := i - 1; j >= 0; j-- {
				s.drop(bs[j])
			}
			return false
		}
	}
	return true
}

// drop takes back the bound that was added last from its variable.
func (s *boundSet) drop(b bound) {
	s.out[b.u] = s.out[b.u][:len(s.out[b.u])-1]
	s.all = s.all[:len(s.all)-1]
}

// addOne raises what b pushes. The bounds before it can be kept, so a cycle that
// pushes itself would pass through b, and raise b.u.
func (s *boundSet) addOne(b bound) bool {
	s.queue, s.old = s.queue[:0], s.old[:0]
	ok := b.u != b.v || b.least <= 0
	if ok {
		s.raise(b.v, s.k[b.u]+b.least)
	}
	for i := 0; ok && i < len(s.queue); i++ {
		x := s.queue[i]
		for _, c := range s.out[x] {
			if s.raise(c.v, s.k[x]+c.least) && c.v == b.u {
				ok = false
				break
			}
		}
	}
	if !ok {
		for i := len(s.old) - 1; i >= 0; i-- {
			s.k[s.old[i].variable] = s.old[i].value
		}
		return false
	}
	s.out[b.u] = append(s.out[b.u], b)
	s.all = append(s.all, b)
	return true
}

// raise lifts variable i to at least v, and reports whether it had to.
func (s *boundSet) raise(i, v int) bool {
	if s.k[i] >= v {
		return false
	}
	s.old = append(s.old, trail{i, s.k[i]})
	s.k[i] = v
	s.queue = append(s.queue, i)
	return true
}

// pushDown lowers k as far as bounds, which can all be kept, ask.
func pushDown(k []int, bounds []bound) {
	in := make([][]bound, len(k)) // by v
	queue := make([]int, len(k))
	for _, b := range bounds {
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
