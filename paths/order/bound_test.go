package order

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// TestBoundHolds: no bound is above the optimum of small cases with strokes of every
// kind, loops and dots among them, which Order finds exactly. The optimum is found
// with loops entered at listed points that are then refined, so it may come out a
// little above the true one, never below.
func TestBoundHolds(t *testing.T) {
	var gaps []float64
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 23))
		strokes := randomStrokes(r, 1+r.IntN(4))
		if seed%2 == 0 {
			strokes = uniform(len(strokes), seed)
		}
		home, park := pt(0, 0), pt(0, 0)
		if seed%3 == 0 {
			park = pt(100*r.Float64(), 40)
		}
		got, err := Order([][]paths.Stroke{strokes}, Options{Home: home, Park: park})
		if err != nil {
			t.Fatal(err)
		}
		bound, err := LowerBound(strokes, home, park, got.TravelMM, nil)
		if err != nil {
			t.Fatal(err)
		}
		if bound > got.TravelMM {
			t.Errorf("seed %d: bound %.9f of %d strokes, the best tour is %.9f", seed, bound, len(strokes), got.TravelMM)
		}
		gaps = append(gaps, 1-bound/got.TravelMM)
	}
	slices.Sort(gaps)
	t.Logf("the bound is %.4f under the best tour in the median, %.4f at most", gaps[len(gaps)/2], gaps[len(gaps)-1])
	if gaps[len(gaps)/2] > 0.02 {
		t.Errorf("the bound is %.4f under the best tour in the median, want at most 0.02", gaps[len(gaps)/2])
	}
}

// TestBoundOfAWorkedCase: four strokes whose best closed tour, of all 384 orders, is
// 33.440307 mm, by trying each by hand of a program outside this one.
func TestBoundOfAWorkedCase(t *testing.T) {
	strokes := []paths.Stroke{line(0, 0, 10, 0), line(10, 3, 0, 3), line(0, 6, 10, 6), line(20, 0, 20, 6)}
	const best = 33.440307
	got, err := LowerBound(strokes, pt(0, 0), pt(0, 0), best, nil)
	if err != nil || got > best || got < 0.8*best {
		t.Errorf("bound %g, %v; the best tour is %g", got, err, best)
	}
}

// TestBoundAtAnyPrices: the bound holds whatever the prices are, so an ascent that
// is stopped early gives one too.
func TestBoundAtAnyPrices(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 29))
		strokes := randomStrokes(r, 4)
		got, err := Order([][]paths.Stroke{strokes}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		a := newAscent(strokes, pt(0, 0), pt(0, 0))
		for s := range strokes {
			a.price[2*s], a.price[2*s+1] = 20*r.NormFloat64(), 20*r.NormFloat64()
			if a.single(int32(2 * s)) {
				a.price[2*s+1] = a.price[2*s]
			}
		}
		if b := a.whole(); b > got.TravelMM+1e-9 {
			t.Errorf("seed %d: bound %g at random prices, the best tour is %g", seed, b, got.TravelMM)
		}
	}
}

// TestBoundOfPublished compares with the published instances: the bound is below
// the best known, and for open strokes near the bounds proved by branch and cut,
// which are stronger than trees are.
func TestBoundOfPublished(t *testing.T) {
	published := map[string]float64{"seg-200": 6676.766, "seg-1000": 11875.221, "mixed-1000": 10490.866, "a280": 2586.77}
	for _, s := range sets {
		if !*thorough && s.name != "seg-200" {
			continue
		}
		proved, ok := published[s.name]
		if !ok {
			continue
		}
		got, err := LowerBound(s.strokes(t), pt(0, 0), pt(0, 0), s.best, nil)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: bound %.4f of the best known, %.4f of the bound published", s.name, got/s.best, got/proved)
		if got > s.best || s.name != "mixed-1000" && got < 0.97*proved {
			t.Errorf("%s: bound %g; the best known tour is %g, the published bound %g", s.name, got, s.best, proved)
		}
	}
}

// TestBoundStops: a bound that is stopped is still one, and too many strokes are refused.
func TestBoundStops(t *testing.T) {
	strokes := uniform(100, 5)
	asked := 0
	got, err := LowerBound(strokes, pt(0, 0), pt(0, 0), 1200, func(done, _ int) bool { asked++; return done < 3 })
	if err != nil || asked != 4 || math.IsNaN(got) || got <= 0 {
		t.Errorf("bound %g, %v, stop asked %d times", got, err, asked)
	}
	if _, err := LowerBound(make([]paths.Stroke, MostBounded+1), pt(0, 0), pt(0, 0), 1, nil); !errors.Is(err, fault.Fit) {
		t.Errorf("%d strokes: %v", MostBounded+1, err)
	}
}
