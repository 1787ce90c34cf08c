package choice

import (
	"cmp"
	"slices"

	"weftplot/paths/near"
)

// mostSpread is how many channels a row of lines that stand closer than the channels
// may grow in all, so that each has a channel of its own.
const mostSpread = 4

// Crowd is a row of lines, by index and in the order of their places, one for each
// place, of which some share a channel: on one each, they would take up more than the
// row does.
type Crowd struct{ Lines []int }

// crowding tells which pairs of variables, of those that are to lie a channel apart,
// belong to a row that would grow by more than mostSpread for it.
//
// What a pair adds to its row is a channel less its spacing; one that is wider than a
// channel takes up what others add. The greatest sum over rows that end with a pair,
// and that begin with it, is that of the pair before or after, or nothing (Bentley,
// Programming Pearls, CACM 27 (1984) 865-873, of sums along a list; here along chains).
type crowding struct {
	spread     float64   // how much a row may grow here
	at         []float64 // by variable
	upTo, from []float64 // by variable: the most that a chain adds which ends or begins there
}

func (c *chooser) crowdingOf(pairs []Pair) crowding {
	n := len(c.first)
	w := crowding{mostSpread, make([]float64, n), make([]float64, n), make([]float64, n)}
	if c.centre != nil {
		w.spread /= 2 // the image grows as much
	}
	for v, i := range c.first {
		w.at[v] = c.Lines[i].At
	}
	// The lower line of a pair comes before its upper one, in this order and in its reverse.
	sorted := slices.Clone(pairs)
	slices.SortStableFunc(sorted, func(p, q Pair) int { return cmp.Compare(w.at[p.B], w.at[q.B]) })
	for _, p := range sorted {
		w.upTo[p.B] = max(w.upTo[p.B], w.upTo[p.A]+w.adds(p))
	}
	slices.SortStableFunc(sorted, func(p, q Pair) int { return cmp.Compare(w.at[q.A], w.at[p.A]) })
	for _, p := range sorted {
		w.from[p.A] = max(w.from[p.A], w.from[p.B]+w.adds(p))
	}
	return w
}

func (w crowding) adds(p Pair) float64 { return 1 - (w.at[p.B] - w.at[p.A]) }

// holds reports whether a pair closer than a channel belongs to such a row.
func (w crowding) holds(p Pair) bool {
	add := w.adds(p)
	return add > 0 && w.upTo[p.A]+add+w.from[p.B] > w.spread
}

// outOfCrowds leaves out the pairs of crowds: their lines keep their order, and may
// share a channel. It notes the crowds.
func (c *chooser) outOfCrowds(apart, seen []Pair) []Pair {
	w := c.crowdingOf(c.distinct(apart))
	crowded := make([]bool, len(c.first))
	var out []Pair
	for _, p := range apart {
		u, v := c.bundle[p.A], c.bundle[p.B]
		if u == v || !w.holds(Pair{A: u, B: v}) {
			out = append(out, p)
			continue
		}
		crowded[u], crowded[v] = true, true
	}
	if len(out) < len(apart) {
		c.noteCrowds(crowded, append(c.distinct(apart), c.distinct(seen)...), w)
	}
	return out
}

// noteCrowds notes the rows that the crowded variables make: those of pairs less than
// a channel apart belong together.
func (c *chooser) noteCrowds(crowded []bool, pairs []Pair, w crowding) {
	sets := near.NewSets(len(c.first))
	for _, p := range pairs {
		if crowded[p.A] && crowded[p.B] && w.adds(p) > 0 {
			sets.Join(p.A, p.B)
		}
	}
	order := make([]int, len(c.Lines))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(c.Lines[i].At, c.Lines[j].At) })
	number := map[int]int{}
	for _, i := range order {
		if !crowded[c.bundle[i]] {
			continue
		}
		row := sets.Find(c.bundle[i])
		k, known := number[row]
		if !known {
			k = len(c.answer.Crowds)
			number[row], c.answer.Crowds = k, append(c.answer.Crowds, Crowd{})
		}
		d := &c.answer.Crowds[k]
		if n := len(d.Lines); n == 0 || c.Lines[i].At-c.Lines[d.Lines[n-1]].At > alignedStep {
			d.Lines = append(d.Lines, i)
		}
	}
}

// evenOutOfCrowds leaves out the places of sizes below a channel that stand in crowds:
// no whole count is near enough to them.
func (c *chooser) evenOutOfCrowds(ties []tie) []tie {
	var pairs []Pair
	for _, t := range ties {
		if t.v != axisOf {
			pairs = append(pairs, Pair{A: t.u, B: t.v})
		}
	}
	w := c.crowdingOf(pairs)
	return slices.DeleteFunc(ties, func(t tie) bool { return t.v != axisOf && w.holds(Pair{A: t.u, B: t.v}) })
}
