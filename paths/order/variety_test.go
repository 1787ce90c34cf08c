package order

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths/order/ordertest"
)

// TestVariety: what an AB-cycle loses is the entropy of the hops before less that after, both
// summed by definition over all hops of all tours.
func TestVariety(t *testing.T) {
	f := newInstance(ordertest.Uniform(150, 3), pt(0, 0), pt(50, 0), nil) // the way home is no dot
	near := newNeighbours(f)
	tours := make([]*ordering, 6)
	joined := make([][]int32, len(tours))
	for i := range tours {
		tours[i] = &ordering{f: f, near: near, seq: greedy(f, near, rand.New(rand.NewPCG(1, uint64(i))))}
		joined[i] = tours[i].joined()
	}
	entropy := func() (sum float64) {
		in := map[[2]int32]float64{}
		for _, j := range joined {
			for a, b := range j {
				if int32(a) < b {
					in[[2]int32{int32(a), b}]++
				}
			}
		}
		for _, k := range in {
			x := k / float64(len(joined))
			sum -= x * math.Log(x)
		}
		return sum
	}
	v := varietyOf(tours)
	before := entropy()
	c := newCombining(tours[0], tours[1])
	cycles := c.cycles()
	if len(cycles) < 5 {
		t.Fatalf("only %d AB-cycles", len(cycles))
	}
	least, most := math.Inf(1), math.Inf(-1)
	for i, cycle := range cycles {
		got := v.lost(f, cycle)
		c.exchange(cycle)
		joined[0] = c.own
		want := before - entropy()
		c.exchange(cycle)
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("AB-cycle %d loses %g, said to lose %g", i, want, got)
		}
		least, most = min(least, want), max(most, want)
	}
	if most < least+0.1 {
		t.Errorf("all AB-cycles lose %g to %g, too much alike to show anything", least, most)
	}
}

// TestVarietyOfSingles: a hop of a dot is one hop, whichever of its two ends has it.
func TestVarietyOfSingles(t *testing.T) {
	f := newInstance(ordertest.Lattice(4), pt(0, 0), pt(0, 0), nil)
	near := newNeighbours(f)
	w := &ordering{f: f, near: near, seq: greedy(f, near, nil)}
	turned := w.clone()
	for k, e := range turned.seq {
		if f.single(e >> 1) {
			turned.seq[k] = e ^ 1
		}
	}
	v := varietyOf([]*ordering{w, turned})
	for _, hops := range v.hops {
		for _, h := range hops {
			if h.tours != 2 {
				t.Fatalf("a hop of both tours is said to be in %d", h.tours)
			}
		}
	}
}
