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

// TestWalk: what is worked out once for a curve gives its points and directions.
func TestWalk(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 59))
	place := func() paths.Point { return pt(10*r.Float64(), 10*r.Float64()) }
	for range 500 {
		sweep := (4*r.Float64() - 2) * math.Pi
		for _, c := range []paths.Curve{
			paths.ArcAround(place(), 0.1+5*r.Float64(), 7*r.Float64(), sweep),
			paths.Cubic{A: place(), B: place(), C: place(), D: place()},
			paths.Line{A: place(), B: place()},
		} {
			w := newWalk(c)
			for k := range 9 {
				at := float64(k) / 8
				p, along := w.at(at)
				if d := max(p.Dist(c.At(at)), w.point(at).Dist(p)); d > 1e-9 {
					t.Fatalf("%v at %g: %g mm off", c, at, d)
				}
				if d := along.Unit().Dist(c.Tangent(at)); d > 1e-9 {
					t.Fatalf("%v at %g: the direction is %v, not %v", c, at, along, c.Tangent(at))
				}
			}
		}
	}
}

// TestAboutLength: the length that the points of a loop are counted by, against the length
// itself: of a quarter of a circle within a thousandth, of any curve within a quarter.
func TestAboutLength(t *testing.T) {
	const k = 0.5522847498 // of the radius: the usual handle of a quarter circle, from memory
	quarter := paths.Cubic{A: pt(1, 0), B: pt(1, k), C: pt(k, 1), D: pt(0, 1)}
	if got := aboutLength(quarter); math.Abs(got-math.Pi/2) > 0.001*math.Pi/2 {
		t.Errorf("a quarter of a circle of radius 1 is about %g long, want 1.571", got)
	}
	r := rand.New(rand.NewPCG(9, 61))
	place := func() paths.Point { return pt(10*r.Float64(), 10*r.Float64()) }
	for range 200 {
		c := paths.Cubic{A: place(), B: place(), C: place(), D: place()}
		if got, want := aboutLength(c), c.Length(); got < 0.95*want || got > 1.25*want {
			t.Errorf("%v is about %g long, its length is %g", c, got, want)
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
