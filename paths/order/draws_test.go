package order

import (
	"flag"
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

var (
	drawings = flag.Int("drawings", 6, "drawings of each kind that TestDraws orders")
	searches = flag.Int("searches", 2, "searches of each drawing, with other random numbers")
)

// TestDraws: what is found hangs little on the numbers drawn. Each drawing of a thousand
// strokes is ordered again and again with other numbers; the shortest tour of all is the
// best known, and no other is much longer.
func TestDraws(t *testing.T) {
	if !*thorough {
		t.Skip("-thorough takes minutes")
	}
	for _, kind := range []struct {
		name    string
		strokes func(n int, seed uint64) []paths.Stroke
		limits  map[Effort]float64
	}{
		{"segments", ordertest.Segments, map[Effort]float64{Normal: 1.006, Thorough: 1.001}},
		{"mixed", ordertest.Mixed, map[Effort]float64{Normal: 1.015, Thorough: 1.003}},
	} {
		for drawing := range uint64(*drawings) {
			strokes := kind.strokes(1000, drawing)
			found := map[Effort][]float64{}
			best := math.Inf(1)
			for _, effort := range []Effort{Normal, Thorough} {
				for seed := range uint64(*searches) {
					got, err := seeded([][]paths.Stroke{strokes}, Options{Effort: effort}, seed)
					if err != nil {
						t.Fatal(err)
					}
					found[effort] = append(found[effort], got.TravelMM)
					best = min(best, got.TravelMM)
				}
			}
			for effort, all := range found {
				for seed, travel := range all {
					t.Logf("%s %d at %s effort, search %d: %.4f of the best, %.3f mm", kind.name, drawing, effort, seed, travel/best, travel)
					if travel > kind.limits[effort]*best {
						t.Errorf("%s %d at %s effort, search %d: %.4f of the best, want at most %g", kind.name, drawing, effort, seed, travel/best, kind.limits[effort])
					}
				}
			}
		}
	}
}
