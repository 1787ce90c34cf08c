package order

import (
	"testing"

	"weftplot/paths/order/ordertest"
)

// TestManyLoops: the neighbours of many loops, which are sooner found, and the fewer points at
// which these are entered, leave the tours as short for about as many steps of work.
func TestManyLoops(t *testing.T) {
	var cost [2]float64
	var work [2]int
	for seed := range uint64(2) {
		strokes := ordertest.Rings(fewLoops+1, seed)
		for i, many := range []bool{false, true} {
			f := newInstance(strokes, pt(0, 0), pt(0, 0), nil)
			if !f.many {
				t.Fatalf("%d loops are not many", len(strokes))
			}
			f.many = many
			near := newNeighbours(f)
			s := newSearch(newTour(f, near, greedy(f, near, nil)), 1)
			s.descend()
			cost[i] += (&ordering{f: f, near: near, seq: s.seq}).cost()
			work[i] += s.work
		}
	}
	t.Logf("travel %.1f mm with %d steps of work, cut short %.1f mm with %d", cost[0], work[0], cost[1], work[1])
	if cost[1] > 1.003*cost[0] {
		t.Errorf("travel is %.1f mm, with nothing cut short %.1f mm", cost[1], cost[0])
	}
	if float64(work[1]) > 1.15*float64(work[0]) {
		t.Errorf("it takes %d steps of work, with nothing cut short %d", work[1], work[0])
	}
	if newInstance(ordertest.Rings(fewLoops, 1), pt(0, 0), pt(0, 0), nil).many {
		t.Errorf("%d loops are many", fewLoops)
	}
}
