package bound

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
)

// early stops a bound when few of its walks have been tried, so that the cases are many.
func early(done, total int) bool { return *thorough || 100*done < 51*total || total == rounds }

// TestWalksAgainstBruteForce: no bound by walks is above the shortest tour that trying all
// orders and many entries finds, whether the tour known is that one or a longer one; nor is
// what walks cost at any prices, whatever they mind.
func TestWalksAgainstBruteForce(t *testing.T) {
	cases := uint64(20)
	if *thorough {
		cases = 300
	}
	var ratios []float64
	for seed := range cases {
		r := rand.New(rand.NewPCG(seed, 47))
		strokes := largeLoops(r, 1+r.IntN(4))
		home, park := pt(0, 0), pt(100*r.Float64(), 100*r.Float64())
		if seed%3 == 0 {
			park = home
		}
		best := shortest(strokes, home, park)
		for _, known := range []float64{best, best * (1 + r.Float64())} {
			got := walks(strokes, home, park, known, early)
			if got > best {
				t.Errorf("seed %d: bound %.9f of %d strokes with a tour of %.9f known, one of %.9f was found", seed, got, len(strokes), known, best)
			}
			ratios = append(ratios, got/best)
		}
		w := newWalker(newGraph(strokes, home, park, 1+20*r.Float64(), 0.5), best*(1+r.Float64()))
		for s := range w.price {
			w.price[s] = 20 * r.NormFloat64()
			w.minded[s] = 1<<s | r.Uint64()
		}
		w.drop()
		if got, _ := w.cheapest(w.layers()); got > best*(1+1e-12) {
			t.Errorf("seed %d: walks cost %.9f at random prices, a tour of %.9f was found", seed, got, best)
		}
	}
	slices.Sort(ratios)
	n := len(ratios)
	t.Logf("the bound is %.4f of the tour at least, %.4f in the lowest tenth, %.4f in the median", ratios[0], ratios[n/10], ratios[n/2])
	if ratios[n/10] < 0.95 {
		t.Errorf("the bound is %.4f of the tour in the lowest tenth, want 0.95", ratios[n/10])
	}
}

// TestBoundBetweenHomeAndPark is the example of what trees do not see. A ring passes both home and park.
// A tree takes half of a visit near each for a whole one, and so does not see that the
// pen must go from the one to the other.
func TestBoundBetweenHomeAndPark(t *testing.T) {
	for _, strokes := range [][]paths.Stroke{
		{{paths.Circle(pt(100, 0), 99)}},
		{{paths.Circle(pt(100, 0), 99)}, {paths.Circle(pt(100, 0), 80)}},
		{paths.Polyline(pt(1, -50), pt(199, -50), pt(199, 50), pt(1, 50), pt(1, -50)), paths.Polyline(pt(60, 0), pt(140, 0))},
	} {
		home, park := pt(0, 0), pt(200, 0)
		best := shortest(strokes, home, park)
		got, err := Lower(strokes, home, park, best, nil)
		if err != nil || got > best || got < 0.99*best {
			t.Errorf("bound %g, %v, of %d strokes whose shortest tour is %g: want 0.99 of it or more", got, err, len(strokes), best)
		}
	}
}

// TestLayersAgainstAllWalks: when no stroke is forgotten the labels hold the cheapest tour over the
// visits; when all are, the cheapest walk that never stays at a stroke. No label of it is
// passed over when a tour is known that is as long.
func TestLayersAgainstAllWalks(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 53))
		w := newWalker(newGraph(largeLoops(r, 4), pt(0, 0), pt(100, 0), 60, 1), 1000)
		for s := range w.price {
			w.price[s] = 10 * r.NormFloat64()
		}
		for _, all := range []bool{false, true} {
			for s := range w.minded {
				w.minded[s] = 1 << s
				if all {
					w.minded[s] = 1<<w.strokes - 1
				}
			}
			want := w.allWalks(nil, all)
			for _, known := range []float64{1000, max(want, 0.1)} {
				w.tour = known
				got, walk := w.cheapest(w.layers())
				if math.Abs(got-want) > 1e-9 || len(walk) != w.strokes {
					t.Errorf("seed %d: the cheapest walk costs %.9f with a tour of %.9f known, want %.9f", seed, got, known, want)
				}
			}
		}
	}
}

// allWalks returns the cost of the cheapest walk that goes on from some visits, by trying all.
func (w *walker) allWalks(so []int, tours bool) float64 {
	if len(so) == w.strokes {
		cost := w.paid() + w.come[so[0]] + w.leave[so[len(so)-1]]
		for i, v := range so {
			cost -= w.price[w.visits[v].stroke]
			if i > 0 {
				cost += w.hop[so[i-1]*len(w.visits)+v]
			}
		}
		return cost
	}
	best := math.Inf(1)
	for v := range w.visits {
		minded := so
		if !tours && len(so) > 0 {
			minded = so[len(so)-1:]
		}
		if !slices.ContainsFunc(minded, func(u int) bool { return w.visits[u].stroke == w.visits[v].stroke }) {
			best = min(best, w.allWalks(append(slices.Clone(so), v), tours))
		}
	}
	return best
}
