package bound

import (
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/order"
	"weftplot/paths/order/ordertest"
)

var thorough = flag.Bool("thorough", false, "more and larger cases")

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

func line(x0, y0, x1, y1 float64) paths.Stroke { return paths.Polyline(pt(x0, y0), pt(x1, y1)) }

// TestBoundHolds: no bound is above the optimum of small cases with strokes of every
// kind, loops and dots among them, which Order finds exactly. The optimum is found
// with loops entered at listed points that are then refined, so it may come out a
// little above the true one, never below. Quick effort is as exact for so few strokes.
func TestBoundHolds(t *testing.T) {
	cases := uint64(80)
	if *thorough {
		cases = 6000
	}
	var gaps []float64
	for seed := range cases {
		r := rand.New(rand.NewPCG(seed, 23))
		strokes := ordertest.RandomStrokes(r, 1+r.IntN(4))
		switch seed % 4 {
		case 0:
			strokes = ordertest.Uniform(len(strokes), seed)
		case 1:
			strokes = slices.Concat(ordertest.Rings(2, seed), strokes[:1+len(strokes)/2])
		}
		home, park := pt(0, 0), pt(0, 0)
		if seed%3 == 0 {
			park = pt(100*r.Float64(), 40)
		}
		got, err := order.Order([][]paths.Stroke{strokes}, order.Options{Home: home, Park: park, Effort: order.Quick})
		if err != nil {
			t.Fatal(err)
		}
		bound, err := Lower(strokes, home, park, got.TravelMM, early)
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

// TestBoundOfLargeLoops is the example of what a tree of strokes does not see. Four dots lie at
// the left ends of two long loops and four at their right ends, 100 mm apart. The pen
// must cross over and come back: it leaves a loop where it enters it. In a tree of strokes, each
// loop joins left to right; the bound has islands at left and right that no hop cheaper than
// the way across joins.
func TestBoundOfLargeLoops(t *testing.T) {
	var strokes []paths.Stroke
	for y := range 2 {
		at := 10 * float64(y)
		strokes = append(strokes, paths.Polyline(pt(0, at), pt(100, at), pt(100, at+1), pt(0, at+1), pt(0, at)))
		for _, x := range []float64{-1, 101} {
			strokes = append(strokes, paths.Polyline(pt(x, at)), paths.Polyline(pt(x, at+1)))
		}
	}
	got, err := order.Order([][]paths.Stroke{strokes[:9]}, order.Options{Home: pt(-1, 11), Park: pt(-1, 11)})
	if err != nil {
		t.Fatal(err)
	}
	bound, err := Lower(strokes[:9], pt(-1, 11), pt(-1, 11), got.TravelMM, early)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("bound %.1f mm, best tour %.1f mm", bound, got.TravelMM)
	if got.TravelMM < 200 || bound > got.TravelMM || bound < 0.9*got.TravelMM {
		t.Errorf("bound %g mm, best tour %g mm: want at least 200 mm, and a bound of 0.9 of it or more", bound, got.TravelMM)
	}
}

// TestBoundOfAWorkedCase: four strokes whose best closed tour, of all 384 orders, is
// 33.440307 mm, by trying each by hand of a program outside this one.
func TestBoundOfAWorkedCase(t *testing.T) {
	strokes := []paths.Stroke{line(0, 0, 10, 0), line(10, 3, 0, 3), line(0, 6, 10, 6), line(20, 0, 20, 6)}
	const best = 33.440307
	got, err := Lower(strokes, pt(0, 0), pt(0, 0), best, nil)
	if err != nil || got > best || got < 0.8*best {
		t.Errorf("bound %g, %v; the best tour is %g", got, err, best)
	}
}

// TestBoundAtAnyPrices: the bound holds whatever the prices and tolls are, so an ascent that
// is stopped early gives one too.
func TestBoundAtAnyPrices(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 29))
		strokes := ordertest.RandomStrokes(r, 4)
		got, err := order.Order([][]paths.Stroke{strokes}, order.Options{})
		if err != nil {
			t.Fatal(err)
		}
		g := newGraph(strokes, pt(0, 0), pt(0, 0), 3, 0.5)
		a := newAscent(g, got.TravelMM/5)
		for p := range a.price {
			a.mean[p], a.visited[p] = 20*r.NormFloat64(), r.Float64()
		}
		if b := a.bound(r.ExpFloat64()); b > got.TravelMM+1e-9 {
			t.Errorf("seed %d: bound %g at random prices and tolls, the best tour is %g", seed, b, got.TravelMM)
		}
	}
}

// TestBoundOfPublished compares with the published instances: the bound is below
// the best known, and for open strokes near the bounds proved by branch and cut,
// which are stronger than trees are.
func TestBoundOfPublished(t *testing.T) {
	published := map[string]float64{"seg-200": 6676.766, "seg-1000": 11875.221, "mixed-1000": 10490.866, "a280": 2586.77}
	for _, s := range ordertest.Sets {
		if !*thorough && s.Name != "seg-200" {
			continue
		}
		proved, ok := published[s.Name]
		if !ok {
			continue
		}
		got, err := Lower(s.Strokes(t), pt(0, 0), pt(0, 0), s.Best, nil)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: bound %.4f of the best known, %.4f of the bound published", s.Name, got/s.Best, got/proved)
		least := 0.97 * proved
		if s.Name == "mixed-1000" { // half of it loops
			least = 0.9 * s.Best
		}
		if got > s.Best || got < least {
			t.Errorf("%s: bound %g; the best known tour is %g, the published bound %g", s.Name, got, s.Best, proved)
		}
	}
}

// TestBoundStops: a bound that is stopped is still one, and too many strokes are refused.
func TestBoundStops(t *testing.T) {
	strokes := ordertest.Uniform(100, 5)
	asked := 0
	got, err := Lower(strokes, pt(0, 0), pt(0, 0), 1200, func(done, _ int) bool { asked++; return done < 3 })
	if err != nil || asked != 4 || math.IsNaN(got) || got <= 0 {
		t.Errorf("bound %g, %v, stop asked %d times", got, err, asked)
	}
	if _, err := Lower(make([]paths.Stroke, Most+1), pt(0, 0), pt(0, 0), 1, nil); !errors.Is(err, fault.Fit) {
		t.Errorf("%d strokes: %v", Most+1, err)
	}
}
