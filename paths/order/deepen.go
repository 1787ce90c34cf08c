package order

// The search for a shorter tour is Lin and Kernighan's (Operations Research 21,
// 1973): a hop is taken out, its loose end joined to a neighbour, the hop there
// taken out in turn, and so on while the sum of what was taken out exceeds what
// was put in; the tour is kept closed at each step by a flip. The strokes
// themselves are never taken out, so that each end has one hop, and each choice
// of a neighbour one way to go on. At the first steps the two kinds of move
// that no sequence of flips reaches by gains alone, a run of strokes set in
// elsewhere either way round, are tried as well (Or 1976; Johnson and McGeoch
// 1997).

const (
	tiny = 1e-9 // gains below it are rounding
)

// breadth is how many neighbours are tried at each step; one beyond.
var breadth = [...]int{5, 3, 2}
var depth = 25

// A step joins t2 to t3 and takes out t3's hop to t4; with t5 and t6 it sets
// the run between in elsewhere.
type step struct {
	gain           float64 // what is taken out less what is put in
	t3, t4, t5, t6 int32   // t5 is -1 in a plain flip
}

// A chain is a sequence of steps from one hop.
type chain struct {
	*tour
	t1    int32
	best  float64 // the greatest gain of a closed tour so far
	mark  int     // the length of the log at that
	added [][2]int32
}

// improve looks for a shorter tour that lacks the hop at t1, makes it, and
// returns by how much it is shorter; 0 when there is none.
func (t *tour) improve(t1 int32) float64 {
	c := chain{tour: t, t1: t1, mark: len(t.log)}
	t2 := t.partner(t1)
	if t2>>1 == t1>>1 {
		return 0
	}
	c.deepen(0, t2, t.d(t1, t2))
	t.undo(c.mark)
	return c.best
}

// deepen goes on from t2 with what has been gained so far, the hop back to t1
// not counted, and reports whether a shorter tour was found.
func (c *chain) deepen(level int, t2 int32, gain float64) bool {
	var room [8]step
	wide := 1
	if level < len(breadth) {
		wide = breadth[level]
	}
	steps := c.steps(level, t2, gain, room[:0], wide)
	for _, s := range steps {
		log, added := len(c.log), len(c.added)
		last := c.take(t2, s)
		now := gain + s.gain
		if closed := now - c.d(last, c.t1); closed > c.best+tiny {
			c.best, c.mark = closed, len(c.log)
		}
		if level+1 < depth {
			c.deepen(level+1, last, now)
		}
		if c.best > 0 {
			return true
		}
		c.undo(log)
		c.added = c.added[:added]
	}
	return false
}

// take makes the step and returns the end that is to be joined next.
func (c *chain) take(t2 int32, s step) int32 {
	t1, t3, t4, t5, t6 := c.t1, s.t3, s.t4, s.t5, s.t6
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
func (c *chain) steps(level int, t2 int32, gain float64, out []step, wide int) []step {
	forward := c.entered(t2)
	for _, t3 := range c.near.of(t2) {
		g := gain - c.d(t2, t3)
		if g <= tiny {
			if c.loop[t3>>1] != nil || c.loop[t2>>1] != nil {
				continue // lists of loops are not sorted by where they are entered
			}
			break
		}
		t4 := c.partner(t3)
		if t3>>1 == t2>>1 || t4 == t2 || t3 == c.t1 || c.isAdded(t3, t4) {
			continue
		}
		s := step{t3: t3, t4: t4, t5: -1, gain: c.d(t3, t4) - c.d(t2, t3)}
		if c.entered(t3) == forward {
			out = keep(out, s, wide)
		} else if level < 2 {
			out = c.insertions(t2, s, gain, out, wide, forward)
		}
	}
	return out
}

// insertions adds the steps that close the run from t2 to t3 into a ring and
// open it again at one of the neighbours of t4.
func (c *chain) insertions(t2 int32, s step, gain float64, out []step, wide int, forward bool) []step {
	for _, t5 := range c.near.of(s.t4) {
		d := c.d(s.t4, t5)
		if gain+s.gain-d <= tiny {
			if c.loop[t5>>1] != nil || c.loop[s.t4>>1] != nil {
				continue
			}
			break
		}
		t6 := c.partner(t5)
		if t5>>1 == s.t4>>1 || t6 == s.t4 || t5 == s.t3 || t5 == t2 || c.isAdded(t5, t6) {
			continue
		}
		if forward && !c.within(t2, t5, t6, s.t3) || !forward && !c.within(s.t3, t5, t6, t2) {
			continue
		}
		out = keep(out, step{gain: s.gain + c.d(t5, t6) - d, t3: s.t3, t4: s.t4, t5: t5, t6: t6}, wide)
	}
	return out
}

// within reports whether the hop from e to f lies in the run from a to b.
func (c *chain) within(a, e, f, b int32) bool {
	return c.between(a, e, b) && c.between(a, f, b)
}

func (c *chain) isAdded(a, b int32) bool {
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
