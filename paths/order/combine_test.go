package order

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

// TestCombine combines tours found apart from one another, of open strokes and of
// strokes of every kind: each stroke is still drawn once, and the tour is shorter by
// the gain, which is never negative.
func TestCombine(t *testing.T) {
	gained := 0
	for seed := range uint64(20) {
		strokes := ordertest.Uniform(400, seed)
		if seed%2 == 1 {
			strokes = ordertest.RandomStrokes(rand.New(rand.NewPCG(seed, 31)), 400)
		}
		f := newInstance(strokes, pt(0, 0), pt(0, 0), nil)
		near := newNeighbours(f)
		w := &ordering{f: f, near: near, seq: greedy(f, near, nil)}
		other := w.clone()
		r := &solver{}
		r.perturb(w, w.all(), rand.New(rand.NewPCG(seed, 1)), 2_000, cooling{})
		r.perturb(other, other.all(), rand.New(rand.NewPCG(seed, 2)), 2_000, cooling{})
		before := w.cost()
		gain := w.combine(other)
		if gain < 0 || math.Abs(before-gain-w.cost()) > 1e-6 {
			t.Errorf("seed %d: %g less a gain of %g is %g", seed, before, gain, w.cost())
		}
		if gain > 0 {
			gained++
		}
		drawn := make([]bool, len(strokes)+1)
		for _, e := range w.seq {
			drawn[e>>1] = true
		}
		for s, ok := range drawn {
			if !ok || len(w.seq) != len(drawn) {
				t.Fatalf("seed %d: stroke %d is not drawn, or another twice", seed, s)
			}
		}
	}
	if gained < 3 {
		t.Errorf("%d of 20 combinations gained", gained)
	}
}

// TestThoroughIsWorthIt: at least half of what normal effort leaves to the best known
// is gone at thorough effort. With loops the best known enters them at vertices only, so
// there the tour is just no longer, and 0.3 % shorter than the best known.
func TestThoroughIsWorthIt(t *testing.T) {
	if !*thorough {
		t.Skip("-thorough takes a minute")
	}
	for _, s := range ordertest.Sets {
		if !slices.Contains([]string{"seg-1000", "clusters-2000", "lattice-900", "mixed-1000"}, s.Name) {
			continue
		}
		var gap [2]float64
		for i, effort := range []Effort{Normal, Thorough} {
			got, err := Order([][]paths.Stroke{s.Strokes(t)}, Options{Effort: effort})
			if err != nil {
				t.Fatal(err)
			}
			gap[i] = got.TravelMM/s.Best - 1
		}
		t.Logf("%s: %.4f over the best known at normal effort, %.4f at thorough", s.Name, gap[0], gap[1])
		if gap[1] > max(gap[0]/2, 0.0005) || s.Name == "mixed-1000" && gap[1] > min(gap[0], -0.003) {
			t.Errorf("%s: %.4f over the best known at normal effort, %.4f at thorough", s.Name, gap[0], gap[1])
		}
	}
}
