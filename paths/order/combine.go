package order

import (
	"slices"

	"weftplot/paths"
)

// Several tours are combined as in partition crossover (Whitley, Hains and Howe,
// GECCO 2009) with the cycles of edge assembly (Nagata, ICGA 1997). Each end of a
// stroke has one hop, so the hops of two tours that differ form cycles that take
// one hop of each in turn, and no two cycles share an end. Each cycle is a change
// that can be made to the one tour without the others; it is made where a shorter
// tour comes of it.

// A combining is the state of one combination.
type combining struct {
	*ordering
	at     []int32       // by stroke: its place in seq
	own    []int32       // by end: what it is joined to
	theirs []int32       // the same in the other tour
	other  []paths.Point // by end: where the other tour has it
	piece  []int32       // by end, of the change that is looked at: its piece
}

// combine makes the changes that lead towards other, a tour of the same strokes,
// and shorten w, and returns the gain.
func (w *ordering) combine(other *ordering) (gain float64) {
	c := newCombining(w, other)
	c.piece = unset(len(w.f.pos))
	left := c.cycles()
	for {
		count := len(left)
		left = slices.DeleteFunc(left, func(cycle []int32) bool {
			g, done := c.try(cycle)
			gain += g
			return done
		})
		if len(left) == count || len(left) == 0 {
			break
		}
	}
	return gain
}

// newCombining returns the combination of w, which it is to change, with other.
func newCombining(w, other *ordering) *combining {
	c := &combining{
		ordering: w,
		at:       make([]int32, len(w.seq)),
		own:      w.joined(),
		theirs:   other.joined(),
		other:    other.f.pos,
	}
	c.number()
	c.matchSingles()
	return c
}

// joined returns by end what it is joined to.
func (w *ordering) joined() []int32 {
	out := make([]int32, len(w.f.pos))
	last := w.seq[len(w.seq)-1]
	for _, e := range w.seq {
		out[last^1], out[e] = e, last^1
		last = e
	}
	return out
}

// number notes the places of the strokes.
func (c *combining) number() {
	for k, e := range c.seq {
		c.at[e>>1] = int32(k)
	}
}

// matchSingles names the ends of dots and loops in the other tour so that hops
// that are in both tours are seen to be.
func (c *combining) matchSingles() {
	same := func(a, b int32) int {
		if a == b || a>>1 == b>>1 && c.f.single(a>>1) {
			return 1
		}
		return 0
	}
	for s := range int32(len(c.seq)) {
		if !c.f.single(s) {
			continue
		}
		a, b := 2*s, 2*s+1
		straight := same(c.own[a], c.theirs[a]) + same(c.own[b], c.theirs[b])
		crossed := same(c.own[a], c.theirs[b]) + same(c.own[b], c.theirs[a])
		if crossed > straight && c.theirs[a]>>1 != s {
			x, y := c.theirs[a], c.theirs[b]
			c.theirs[a], c.theirs[b] = y, x
			c.theirs[x], c.theirs[y] = b, a
		}
	}
}

// cycles returns the cycles of hops that differ, each by its ends: those at even
// places are joined to the next by a hop of w, those at odd ones by one of the other.
func (c *combining) cycles() [][]int32 {
	var out [][]int32
	seen := make([]bool, len(c.own))
	for _, first := range c.seq {
		if seen[first] || c.own[first] == c.theirs[first] {
			continue
		}
		var cycle []int32
		for e := first; !seen[e]; {
			b := c.own[e]
			seen[e], seen[b] = true, true
			cycle = append(cycle, e, b)
			e = c.theirs[b]
		}
		out = append(out, cycle)
	}
	return out
}

// try makes the change if it gains, and reports whether it is dealt with: one that
// gains but falls apart into several tours may do with another change.
func (c *combining) try(cycle []int32) (gain float64, done bool) {
	for _, e := range cycle {
		c.own[e], c.theirs[e] = c.theirs[e], c.own[e]
	}
	gain, undo := c.gain(cycle)
	if gain > tiny {
		if pieces, ok := c.inOne(cycle); ok {
			c.rebuild(pieces)
			return gain, true
		}
	}
	undo()
	for _, e := range cycle {
		c.own[e], c.theirs[e] = c.theirs[e], c.own[e]
	}
	return 0, gain <= tiny
}

// gain moves the entries of the loops in the cycle to where they are best, and
// returns what the change gains; theirs holds what was joined before. undo moves
// the entries back.
func (c *combining) gain(cycle []int32) (gain float64, undo func()) {
	f := c.f
	ends := slices.Clone(cycle)
	var loops []int32
	for _, e := range cycle {
		if s := e >> 1; f.loop[s] != nil && !slices.Contains(loops, s) {
			loops = append(loops, s)
		}
	}
	// The hops on the loops' other sides change too.
	for _, s := range loops {
		for e := 2 * s; e <= 2*s+1; e++ {
			if !slices.Contains(ends, e) {
				ends = append(ends, e)
				if o := c.own[e]; !slices.Contains(ends, o) {
					ends = append(ends, o)
				}
			}
		}
	}
	before := make([]int32, len(ends))
	for i, e := range ends {
		before[i] = c.own[e]
		if i < len(cycle) {
			before[i] = c.theirs[e]
		}
		gain += f.d(e, before[i]) / 2
	}
	was := make([]paths.Point, len(loops))
	for i, s := range loops {
		was[i] = f.pos[2*s]
		f.pos[2*s], f.pos[2*s+1] = c.other[2*s], c.other[2*s]
	}
	c.reenter(loops)
	for _, e := range ends {
		gain -= f.d(e, c.own[e]) / 2
	}
	return gain, func() {
		for i, s := range loops {
			f.pos[2*s], f.pos[2*s+1] = was[i], was[i]
		}
	}
}

// reenter moves the entries of the loops to where they are best, each after the other,
// twice, since neighbours may both be among them.
func (c *combining) reenter(loops []int32) {
	f := c.f
	for range 2 {
		for _, s := range loops {
			p, q := f.pos[c.own[2*s]], f.pos[c.own[2*s+1]]
			now := f.between(p, f.pos[2*s]) + f.between(f.pos[2*s], q)
			if best, cost := f.bestEntry(s, p, q); cost < now {
				f.pos[2*s], f.pos[2*s+1] = best, best
			}
		}
	}
}

// inOne reports whether the change leaves one tour, and returns its pieces, the
// runs of strokes between the hops that change, in their new order: each by the end
// it is now entered by, and the end it is left by.
func (c *combining) inOne(cycle []int32) ([][2]int32, bool) {
	var cuts []int32 // places of strokes before which a hop was taken out
	for _, e := range cycle {
		if k := c.at[e>>1]; c.seq[k] == e {
			cuts = append(cuts, k)
		}
	}
	slices.Sort(cuts)
	n := len(c.seq)
	other := make([]int32, 2*len(cuts)) // by piece and side, its ends
	for i, k := range cuts {
		next := cuts[(i+1)%len(cuts)]
		a, b := c.seq[k], c.seq[(int(next)+n-1)%n]^1
		other[2*i], other[2*i+1] = a, b
		c.piece[a], c.piece[b] = int32(2*i), int32(2*i+1)
	}
	out := make([][2]int32, 0, len(cuts))
	first := other[0]
	for in := first; ; {
		end := other[c.piece[in]^1]
		out = append(out, [2]int32{in, end})
		if in = c.own[end]; in == first || len(out) > len(cuts) {
			break
		}
	}
	return out, len(out) == len(cuts)
}

// rebuild puts the pieces in their order.
func (c *combining) rebuild(pieces [][2]int32) {
	n := len(c.seq)
	seq := make([]int32, 0, n)
	for _, p := range pieces {
		in, out := int(c.at[p[0]>>1]), int(c.at[p[1]>>1])
		if c.seq[in] == p[0] {
			if in <= out {
				seq = append(seq, c.seq[in:out+1]...)
			} else {
				seq = append(append(seq, c.seq[in:]...), c.seq[:out+1]...)
			}
			continue
		}
		for k := in; ; k-- {
			if k < 0 {
				k = n - 1
			}
			seq = append(seq, c.seq[k]^1)
			if k == out {
				break
			}
		}
	}
	c.seq = seq
	c.number()
}
