package order

import (
	"math"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

// TestNearestFirst checks the reading of the instances, and the yardstick,
// against the ratios published with them.
func TestNearestFirst(t *testing.T) {
	for name, want := range map[string]float64{"seg-200": 1.220, "seg-1000": 1.385, "mixed-1000": 1.423} {
		for _, s := range ordertest.Sets {
			if s.Name == name {
				if got := ordertest.NearestFirst(s.Strokes(t)) / s.Best; math.Abs(got-want) > 0.0006 {
					t.Errorf("%s: nearest neighbour takes %.4f times the best, want %.3f", name, got, want)
				}
			}
		}
	}
}

// TestOrderRatios pins the travel to the best known. The search is
// deterministic, so a change that makes tours longer shows here. Four large cases run
// with -thorough.
func TestOrderRatios(t *testing.T) {
	limits := map[string]map[Effort]float64{
		"seg-200":       {Quick: 1.02, Normal: 1.003},
		"seg-1000":      {Quick: 1.04, Normal: 1.006},
		"mixed-1000":    {Quick: 1.04, Normal: 1.002},
		"a280":          {Quick: 1.04, Normal: 1.003},
		"pr1002":        {Quick: 1.04, Normal: 1.015},
		"clusters-2000": {Quick: 1.07, Normal: 1.006},
		"lattice-900":   {Quick: 1.01, Normal: 1.002},
		"uniform-5000":  {Quick: 1.05},
	}
	large := []string{"lattice-900/normal", "pr1002/quick", "seg-1000/normal", "pr1002/normal", "mixed-1000/normal", "clusters-2000/normal", "uniform-5000/quick"}
	for _, s := range ordertest.Sets {
		for effort, limit := range limits[s.Name] {
			t.Run(s.Name+"/"+effort.String(), func(t *testing.T) {
				if !*thorough && slices.Contains(large, s.Name+"/"+effort.String()) {
					t.Skip("-thorough runs it")
				}
				got, err := Order([][]paths.Stroke{s.Strokes(t)}, Options{Effort: effort})
				if err != nil {
					t.Fatal(err)
				}
				if ratio := got.TravelMM / s.Best; ratio > limit {
					t.Errorf("travel is %.4f times the best known, want at most %g", ratio, limit)
				}
			})
		}
	}
}

// TestOrderTSPLIB compares with the optima of TSPLIB's list of solutions, in its
// own distances: EUC_2D rounds each to the nearest integer.
func TestOrderTSPLIB(t *testing.T) {
	rounded := func(p, q paths.Point) float64 { return math.Floor(p.Dist(q) + 0.5) }
	for _, tt := range []struct {
		name    string
		optimum float64
		within  float64
	}{{"berlin52", 7542, 1}, {"eil51", 426, 1}, {"a280", 2579, 1.005}} {
		opt := Options{Cost: rounded}
		got, err := Order([][]paths.Stroke{ordertest.FromTSP(tt.name)(t)}, opt)
		if err != nil {
			t.Fatal(err)
		}
		if l := travel(got.Placed, opt, rounded); l < tt.optimum || l > tt.optimum*tt.within {
			t.Errorf("%s: %g, the optimum is %g", tt.name, l, tt.optimum)
		}
	}
}

// TestOrderSizes: equal work a stroke gives an equal tour, however many strokes
// there are. The travel of a stroke, all over a sheet that grows with their number,
// falls a little as the sheet's edge counts for less (Johnson, McGeoch and Rothberg
// 1996, from memory); a search that falls off with size turns that round.
func TestOrderSizes(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes some seconds")
	}
	before := math.Inf(1)
	sizes := []int{1000, 5000}
	if *thorough {
		sizes = append(sizes, 20_000, 50_000)
	}
	for _, n := range sizes {
		got, err := Order([][]paths.Stroke{ordertest.Uniform(n, 2)}, Options{Effort: Quick})
		if err != nil {
			t.Fatal(err)
		}
		each := got.TravelMM / float64(n)
		t.Logf("%d strokes: %.3f mm of travel each", n, each)
		if each > before {
			t.Errorf("with %d strokes each takes %.3f mm of travel, with fewer %.3f", n, each, before)
		}
		before = each
	}
}
