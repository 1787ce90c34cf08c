package order

import "weftplot/paths"

// The search for a shorter tour is Lin and Kernighan's (Operations Research 21,
// 1973): a hop is taken out, its loose end joined to a neighbour, the hop there
// taken out in turn, and so on while the sum of what was taken out exceeds what
// was put in; the tour is kept closed at each step by a flip. The strokes
// themselves are never taken out, so that each end has one hop, and each choice
// of a neighbour leaves one way to continue. The first steps also try a move
// that a sequence of flips cannot reach when each flip must gain: a segment of
// strokes moved elsewhere, either way round (Or 1976; Johnson and McGeoch
// 1997).

const (
	depth = 25   // steps at most
	tiny  = 1e-9 // gains below it are rounding
)

// breadth is how many neighbours are tried at each of the first steps; later
// steps try one. From a loop on, each try costs several times as much, and more kicks are
// worth more than more tries: one try at each step takes half the work of five and then one,
// and the tours come out shorter at normal effort and as short at quick.
var (
	breadth       = [...]int{5, 2}
	breadthOfLoop = [...]int{1, 1}
)

// A step joins t2 to t3 and takes out t3's hop to t4. One with t5 and t6 also
// takes out the hop between those two, which moves a segment.
type step struct {
	gain           float64 // length of hops taken out less that of hops put in
	t3, t4, t5, t6 int32   // t5 is -1 in a plain flip
	move           int32   // the loop to be entered at to first, or -1
	to             paths.Point
}

// An exchange is a sequence of steps from one hop.
type exchange struct {
	*tour
	t1    int32
	best  float64 // the greatest gain of a closed tour so far
	mark  int     // the length of the log when best was reached
	added [][2]int32
}

// improve looks for a shorter tour without the hop at t1, changes to it, and
// returns by how much it is shorter; 0 when there is none.
func (t *tour) improve(t1 int32) float64 {
	c := exchange{tour: t, t1: t1, mark: len(t.log)}
	t2 := t.partner(t1)
	if t2>>1 == t1>>1 {
		return 0
	}
	c.deepen(0, t2, t.d(t1, t2))
	t.undo(c.mark)
	return c.best
}

// deepen goes on from t2 until there is no further step or a shorter tour is
// found. gain is what has been gained so far, without the hop back to t1.
func (c *exchange) deepen(level int, t2 int32, gain float64) {
	var room [8]step
	wide := 1
	if level < len(breadth) {
		wide = breadth[level]
		if c.loop[t2>>1] != nil {
			wide = breadthOfLoop[level]
		}
	}
	steps := c.steps(level, t2, gain, room[:0], wide)
	for i := range steps {
		log, added := len(c.log), len(c.added)
		last := c.take(t2, &steps[i])
		now := gain + steps[i].gain
		now -= c.close(last, now)
		if level+1 < depth {
			c.deepen(level+1, last, now)
		}
		if c.best > 0 {
			return
		}
		c.undo(log)
		c.added = c.added[:added]
	}
}

// close checks whether closing the tour by a hop from last back to t1 gives the
// best tour so far. If last is on a loop, its entry is moved where that helps,
// and close returns what that costs on the loop's other side.
func (c *exchange) close(last int32, now float64) float64 {
	if c.loop[last>>1] != nil && c.costs(last, c.t1, now-c.best-tiny) {
		return 0
	}
	p, cost := c.joined(last, c.t1, c.d(last, c.t1))
	if now-cost <= c.best+tiny {
		return 0
	}
	more := cost - c.between(p, c.pos[c.t1])
	if p != c.pos[last] {
		c.enter(last>>1, p)
	}
	c.best, c.mark = now-cost, len(c.log)
	return more
}

// costs reports whether joining the loose end a of a loop to b is seen to cost no less than
// some amount, wherever the loop is entered.
func (c *exchange) costs(a, b int32, amount float64) bool {
	hop := &c.hops[a^1]
	return c.noShorter(a>>1, &c.pos[b], &c.pos[hop.to], amount+hop.cost)
}

// joined returns the cost of joining the loose end a to b, which is d as they are, and
// where a's stroke is then entered. A loop is entered at the best point between b and
// what its other end is joined to.
func (c *exchange) joined(a, b int32, d float64) (paths.Point, float64) {
	now := c.pos[a]
	if c.loop[a>>1] == nil {
		return now, d
	}
	hop := &c.hops[a^1]
	other := c.pos[hop.to]
	c.work += len(c.loop[a>>1])/4 + 4
	p, cost := c.bestEntry(a>>1, c.pos[b], other)
	cost -= hop.cost
	if cost >= d-tiny {
		return now, d
	}
	return p, cost
}

// take makes the step and returns the end that is to be joined next.
func (c *exchange) take(t2 int32, s *step) int32 {
	t1, t3, t4, t5, t6 := c.t1, s.t3, s.t4, s.t5, s.t6
	if s.move >= 0 {
		c.enter(s.move, s.to)
	}
	c.added = append(c.added, [2]int32{t2, t3})
	if t5 < 0 {
		c.flip(t1, t2, t3, t4)
		return t4
	}
	c.added = append(c.added, [2]int32{t4, t5})
	if c.entered(t5) == c.entered(t2) {
		// t1 [t2..t6][t5..t3] t4 becomes t1 [t6..t2][t3..t5] t4.
		c.flip(t1, t2, t5, t6)
		c.flip(t2, t5, t4, t3)
	} else {
		// t1 [t2..t5][t6..t3] t4 becomes t1 [t6..t3][t2..t5] t4.
		c.flip(t1, t2, t4, t3)
		c.flip(t1, t3, t5, t6)
		c.flip(t3, t5, t4, t2)
	}
	return t6
}

// steps returns the most promising steps from t2, best first.
func (c *exchange) steps(level int, t2 int32, gain float64, out []step, wide int) []step {
	c.work += int(c.near.start[t2+1] - c.near.start[t2])
	forward := c.entered(t2)
	bound := c.loop[t2>>1] == nil
	costs := c.near.cost[c.near.priced[t2]:]
	for i, t3 := range c.near.of(t2) {
		movable := !bound || c.loop[t3>>1] != nil
		var d float64
		if !movable {
			if d = costs[i]; gain-d <= tiny {
				continue
			}
		}
		h := c.hops[t3]
		t4 := h.to
		if !c.mayJoin(t2, t3, t4) {
			continue
		}
		plain := c.entered(t3) == forward
		if !plain && level >= len(breadth) {
			continue // only insertions go on from here
		}
		most := gain // greatest cost of a join that is of use
		if plain && len(out) == wide {
			most = min(most, h.cost-out[wide-1].gain)
		}
		s := step{t3: t3, t4: t4, t5: -1, move: -1}
		if movable {
			d = c.adapt(&s, t2, most)
		}
		if d >= most-tiny || c.isAdded(t3, t4) {
			continue
		}
		s.gain = h.cost - d
		if plain {
			out = keep(out, s, wide)
		} else {
			out = c.insertions(t2, s, gain, out, wide, forward)
		}
	}
	return out
}

// mayJoin reports whether t2 may be joined to t3, whose hop to t4 then goes.
func (c *exchange) mayJoin(t2, t3, t4 int32) bool {
	return t3>>1 != t2>>1 && t3 != c.t1 && t4 != t2
}

// adapt lets s move the entry of a loop at t3, or else at t2, to where the join
// is cheapest, and returns the cost of the join, or one that is no less than most where
// that is seen to be so.
func (c *exchange) adapt(s *step, t2 int32, most float64) float64 {
	from, to := t2, s.t3
	if c.loop[to>>1] != nil {
		from, to = to, from
	}
	if from>>1 == c.t1>>1 || from>>1 == s.t4>>1 {
		return c.d(from, to) // its other end is loose too
	}
	if c.costs(from, to, most) {
		return most
	}
	p, cost := c.joined(from, to, c.d(from, to))
	if p != c.pos[from] {
		s.move, s.to = from>>1, p
	}
	return cost
}

// insertions adds the steps that close the segment from t2 to t3 into a ring and
// open it again at one of the neighbours of t4.
func (c *exchange) insertions(t2 int32, s step, gain float64, out []step, wide int, forward bool) []step {
	bound := c.loop[s.t4>>1] == nil
	c.work += int(c.near.start[s.t4+1] - c.near.start[s.t4])
	costs := c.near.cost[c.near.priced[s.t4]:]
	for i, t5 := range c.near.of(s.t4) {
		var d float64
		if !bound || c.loop[t5>>1] != nil {
			d = c.d(s.t4, t5)
		} else {
			d = costs[i]
		}
		if gain+s.gain-d <= tiny {
			continue
		}
		h := c.hops[t5]
		t6 := h.to
		if len(out) == wide && s.gain+h.cost-d <= out[wide-1].gain {
			continue
		}
		if !c.mayInsert(t2, &s, t5, t6, forward) {
			continue
		}
		n := s
		n.gain, n.t5, n.t6 = s.gain+h.cost-d, t5, t6
		out = keep(out, n, wide)
	}
	return out
}

// mayInsert reports whether the ring that s closes can be opened at the hop from
// t5 to t6: it lies in the ring, was not put in just before, and none of its
// ends is one that s moves.
func (c *exchange) mayInsert(t2 int32, s *step, t5, t6 int32, forward bool) bool {
	if t5>>1 == s.t4>>1 || t6 == s.t4 || t5 == s.t3 || t5 == t2 {
		return false
	}
	if m := s.move; t5>>1 == m || t6>>1 == m || s.t4>>1 == m {
		return false
	}
	if c.isAdded(t5, t6) {
		return false
	}
	if forward {
		return c.within(t2, t5, t6, s.t3)
	}
	return c.within(s.t3, t5, t6, t2)
}

// within reports whether the hop from e to f lies in the segment from a to b.
func (c *exchange) within(a, e, f, b int32) bool {
	return c.inSegment(a, e, b) && c.inSegment(a, f, b)
}

func (c *exchange) isAdded(a, b int32) bool {
	for _, e := range c.added {
		if e[0] == a && e[1] == b || e[0] == b && e[1] == a {
			return true
		}
	}
	return false
}

// keep inserts s into the sorted list, which stays at most wide long.
func keep(list []step, s step, wide int) []step {
	if len(list) == wide {
		if s.gain <= list[wide-1].gain {
			return list
		}
		list = list[:wide-1]
	}
	i := len(list)
	list = append(list, s)
	for i > 0 && list[i-1].gain < s.gain {
		list[i] = list[i-1]
		i--
	}
	list[i] = s
	return list
}
