package order

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

// TestNearestEntry: the few points of a loop that are tried nearly always hold the best, as a
// try of all shows, however many there are; of many loops, all but as good a one.
func TestNearestEntry(t *testing.T) {
	t.Run("few", func(t *testing.T) { tryEntries(t, nearestEntry, 1.002) })
	t.Run("many", func(t *testing.T) { tryEntries(t, nearestOfMany, 1.005) })
}

// tryEntries compares the ways over the entries that nearest finds with the shortest.
func tryEntries(t *testing.T, nearest func([]paths.Point, paths.Point, paths.Point) (paths.Point, float64), limit float64) {
	r := rand.New(rand.NewPCG(7, 53))
	for _, n := range []int{3, 4, 5, fewestEntries, fewestEntries + 5, 30, mostEntries, 2 * mostEntries} {
		const tries = 2000
		missed, lost, all := 0, 0., 0.
		for range tries {
			points := make([]paths.Point, n)
			wide, high := 0.5+r.Float64(), 0.5+r.Float64()
			for i := range points {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
				points[i] = pt(wide*cos, high*sin)
			}
			p, q := pt(4*r.Float64()-2, 4*r.Float64()-2), pt(4*r.Float64()-2, 4*r.Float64()-2)
			e, cost := nearest(points, p, q)
			if got := p.Dist(e) + e.Dist(q); math.Abs(got-cost) > 1e-9 {
				t.Fatalf("%d points: the way over %v is %g, said to be %g", n, e, got, cost)
			}
			least := math.Inf(1)
			for _, e := range points {
				least = min(least, p.Dist(e)+e.Dist(q))
			}
			if cost > least+1e-9 {
				missed++
			}
			lost, all = lost+cost-least, all+least
		}
		t.Logf("%d points: %d of %d missed, ways %.5f of the shortest", n, missed, tries, 1+lost/all)
		if 1+lost/all > limit {
			t.Errorf("%d points: ways are %.5f of the shortest", n, 1+lost/all)
		}
	}
}

// TestWalk: what is worked out once for an arc gives the points and directions of the arc.
func TestWalk(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 59))
	for range 500 {
		sweep := (4*r.Float64() - 2) * math.Pi
		arc := paths.ArcAround(pt(10*r.Float64(), 10*r.Float64()), 0.1+5*r.Float64(), 7*r.Float64(), sweep)
		w := newWalk(arc)
		for k := range 9 {
			at := float64(k) / 8
			p, along := w.at(at)
			if d := p.Dist(arc.At(at)); d > 1e-9 {
				t.Fatalf("%v at %g: %g mm off", arc, at, d)
			}
			if d := along.Dist(arc.Tangent(at)); d > 1e-9 {
				t.Fatalf("%v at %g: the direction is %v, not %v", arc, at, along, arc.Tangent(at))
			}
		}
	}
}

// TestGapOfLoops: many short loops are as far apart as their middles, and others as far as
// the nearest point of a loop is from where the other is entered.
func TestGapOfLoops(t *testing.T) {
	circles := []paths.Stroke{{paths.Circle(pt(0, 0), 1)}, {paths.Circle(pt(5, 0), 1)}}
	f := newInstance(circles, pt(0, 0), pt(0, 0), nil)
	for i := range circles {
		f.loop[i] = entries(circles[i], 1)
		f.hull[i] = around(f.loop[i])
	}
	f.many = true
	if d := f.gap(0, 2); math.Abs(d-5) > 1e-9 {
		t.Errorf("the middles are 5 mm apart, the loops %g", d)
	}
	f.many = false
	if d := f.gap(0, 2); math.Abs(d-5) > 1e-9 { // circle 2 is entered at 6, 0
		t.Errorf("the nearest point is 5 mm from the entry, and %g was found", d)
	}
	f.pos[2], f.pos[3] = pt(4, 0), pt(4, 0)
	if d := f.gap(0, 2); math.Abs(d-3) > 1e-9 {
		t.Errorf("the nearest point is 3 mm from the entry, and %g was found", d)
	}
}

// TestBudgetOfLoops: a step takes half as long again with loops, so that a large drawing of
// them gets fewer at normal effort than one of other strokes, and a small one no fewer.
func TestBudgetOfLoops(t *testing.T) {
	for n, want := range map[int][2]float64{400: {1, 4}, fewLoops: {1, 2}, 20_000: {0.6, 0.75}} {
		loops := float64(budget(Normal, ordertest.Rings(n, 1)))
		if ratio := loops / float64(budget(Normal, ordertest.Uniform(n, 1))); ratio < want[0] || ratio > want[1] {
			t.Errorf("%d loops get %.2f of the steps of other strokes, want %g to %g", n, ratio, want[0], want[1])
		}
	}
}
