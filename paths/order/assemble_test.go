package order

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths/order/ordertest"
)

// TestCross crosses tours of open strokes, of dots and of strokes of every kind: each child
// draws each stroke once and is shorter than its first parent, which stays as it is.
func TestCross(t *testing.T) {
	born := 0
	for seed := range uint64(20) {
		strokes := ordertest.Uniform(150, seed)
		switch seed % 3 {
		case 1:
			strokes = ordertest.Lattice(12)
		case 2:
			strokes = ordertest.RandomStrokes(rand.New(rand.NewPCG(seed, 31)), 150)
		}
		f := newInstance(strokes, pt(0, 0), pt(0, 0), nil)
		near := newNeighbours(f)
		r := &solver{}
		parents := make([]*ordering, 2)
		for i := range parents {
			rng := rand.New(rand.NewPCG(seed, uint64(i)))
			w := (&ordering{f: f, near: near}).clone()
			w.seq = greedy(w.f, near, rng)
			r.descend(w, rng, Thorough)
			parents[i] = w
		}
		before := parents[0].cost()
		c, work := parents[0].cross(parents[1], varietyOf(parents), rand.New(rand.NewPCG(seed, 3)))
		if parents[0].cost() != before || work <= 0 {
			t.Errorf("seed %d: the parent cost %g, and after %d steps %g", seed, before, work, parents[0].cost())
		}
		if c == parents[0] {
			continue
		}
		born++
		if c.cost() >= before {
			t.Errorf("seed %d: a child of %g mm has a parent of %g mm", seed, c.cost(), before)
		}
		drawn := make([]bool, len(strokes)+1)
		for _, e := range c.seq {
			if drawn[e>>1] {
				t.Errorf("seed %d: stroke %d is drawn twice", seed, e>>1)
			}
			drawn[e>>1] = true
		}
		if len(c.seq) != len(drawn) {
			t.Errorf("seed %d: %d of %d strokes are drawn", seed, len(c.seq), len(drawn))
		}
	}
	if born < 10 {
		t.Errorf("%d of 20 pairs have a child", born)
	}
}

// TestChildGain: the gain that a child is chosen by is that of its tour, and where no tour
// comes of an exchange the parents are as before.
func TestChildGain(t *testing.T) {
	several := 0
	for seed := range uint64(4) {
		f := newInstance(ordertest.Uniform(200, seed), pt(0, 0), pt(0, 0), nil)
		near := newNeighbours(f)
		w := &ordering{f: f, near: near, seq: greedy(f, near, nil)}
		other := &ordering{f: f, near: near, seq: greedy(f, near, rand.New(rand.NewPCG(1, seed)))}
		several += checkChildren(t, w, other)
	}
	if several < 3 {
		t.Errorf("only %d AB-cycles leave several tours", several)
	}
}

// checkChildren checks the children of two parents, and returns how many were several tours
// before they were joined.
func checkChildren(t *testing.T, w, other *ordering) (several int) {
	t.Helper()
	c := newCombining(w, other)
	before := w.cost()
	for i, cycle := range c.cycles() {
		ch, _, ok := c.bear(cycle)
		if !ok {
			continue
		}
		if len(ch.joins) > 0 {
			several++
		}
		v := &ordering{f: w.f, near: w.near, seq: c.grown(ch)}
		if len(v.seq) != len(w.seq) || math.Abs(before-ch.gain-v.cost()) > 1e-6 {
			t.Errorf("AB-cycle %d: %g less a gain of %g is %g, with %d strokes of %d", i, before, ch.gain, v.cost(), len(v.seq), len(w.seq))
		}
		if d := newCombining(w, other); len(d.cycles()) == 0 || d.own[w.seq[0]] != w.joined()[w.seq[0]] {
			t.Errorf("AB-cycle %d changed a parent", i)
		}
		c = newCombining(w, other)
	}
	return several
}

// TestBreed: a population of tours becomes shorter, none longer, and what comes of it is
// the optimum, which is known for a lattice with an even number of points a side.
func TestBreed(t *testing.T) {
	f := newInstance(ordertest.Lattice(12), pt(0, 0), pt(0, 0), nil)
	near := newNeighbours(f)
	w := &ordering{f: f, near: near, seq: greedy(f, near, nil)}
	r := &solver{best: w.cost()}
	r.evolve(w, breeding{20, 0.5}, 3_000_000)
	if got := w.cost(); math.Abs(got-1440) > 1e-6 || math.Abs(r.best-got) > 1e-6 {
		t.Errorf("the tour of 144 points 10 mm apart is %g mm, said to be %g, want 1440", got, r.best)
	}
}
