package order

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

// TestCoresMakeNoDifference: the tour of many loops, of strokes of every kind, and of tours
// that are bred, does not depend on the number of cores it is found on.
func TestCoresMakeNoDifference(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, c := range []struct {
		name    string
		strokes []paths.Stroke
		effort  Effort
	}{
		{"loops", ordertest.Rings(fewLoops+100, 1), Quick},
		{"every kind", ordertest.RandomStrokes(rand.New(rand.NewPCG(3, 43)), 600), Quick},
		{"bred", ordertest.Mixed(patchSize+20, 7), Normal},
	} {
		if c.effort == Normal && !*thorough {
			continue
		}
		var first Result
		for _, cores := range []int{1, 3} {
			runtime.GOMAXPROCS(cores)
			got, err := Order([][]paths.Stroke{c.strokes}, Options{Effort: c.effort})
			if err != nil {
				t.Fatal(err)
			}
			if cores == 1 {
				first = got
			} else if !reflect.DeepEqual(got, first) {
				t.Errorf("%s: %d cores find another tour, %g mm and not %g", c.name, cores, got.TravelMM, first.TravelMM)
			}
		}
	}
}

// TestNoShorter: no way over a loop is shorter than what rules it out, and most ways that are
// a twentieth too long are ruled out.
func TestNoShorter(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 47))
	f := newInstance(ordertest.Rings(200, 2), pt(0, 0), pt(0, 0), nil)
	place := func() paths.Point { return pt(300*r.Float64(), 300*r.Float64()) }
	near := 0
	for range 20_000 {
		loop, p, q := int32(r.IntN(200)), place(), place()
		shortest := math.Inf(1)
		for _, e := range f.loop[loop] {
			shortest = min(shortest, p.Dist(e)+e.Dist(q))
		}
		if f.noShorter(loop, &p, &q, shortest+1e-9) {
			t.Fatalf("the way from %v to %v over loop %d is %g, and is ruled out", p, q, loop, shortest)
		}
		if f.noShorter(loop, &p, &q, 0.95*shortest) {
			near++
		}
	}
	if near < 10_000 {
		t.Errorf("only %d of 20000 ways are ruled out that are a twentieth too long", near)
	}
}
