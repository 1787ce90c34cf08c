package order

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

// shortest returns the least travel through all strokes by trying every order,
// every direction and, of each loop, many points. For the best orders the
// points are then refined.
func shortest(strokes []paths.Stroke, home, park paths.Point) float64 {
	x := exhaustive{strokes: strokes, park: park, best: math.Inf(1), used: make([]bool, len(strokes))}
	for _, s := range strokes {
		var at []paths.Point
		if s.IsClosed() {
			for _, c := range s {
				k := int(math.Ceil(c.Length() / s.Length() * 40))
				for j := range k {
					at = append(at, c.At(float64(j)/float64(k)))
				}
			}
		}
		x.at = append(x.at, at)
	}
	x.walk(nil, map[paths.Point]float64{home: 0})
	return x.best
}

// exhaustive walks all orders with, for each, the least cost of every point the
// last stroke may end at.
type exhaustive struct {
	strokes []paths.Stroke
	at      [][]paths.Point
	park    paths.Point
	used    []bool
	best    float64
}

func (x *exhaustive) walk(order []int, costs map[paths.Point]float64) {
	if len(order) == len(x.strokes) {
		for p, c := range costs {
			x.best = min(x.best, c+p.Dist(x.park))
		}
		return
	}
	least := math.Inf(1)
	for _, c := range costs {
		least = min(least, c)
	}
	if least >= x.best {
		return
	}
	for i, s := range x.strokes {
		if x.used[i] {
			continue
		}
		next := map[paths.Point]float64{}
		arrive := func(in, out paths.Point) {
			least := math.Inf(1)
			for p, c := range costs {
				least = min(least, c+p.Dist(in))
			}
			if old, ok := next[out]; !ok || least < old {
				next[out] = least
			}
		}
		if x.at[i] != nil {
			for _, p := range x.at[i] {
				arrive(p, p)
			}
		} else {
			arrive(s.Start(), s.End())
			arrive(s.End(), s.Start())
		}
		x.used[i] = true
		x.walk(append(order, i), next)
		x.used[i] = false
	}
}

// TestOrderSmallIsOptimal compares small cases with trying everything. The
// exhaustive search enters loops at forty points only, so Order's tour may be
// shorter.
func TestOrderSmallIsOptimal(t *testing.T) {
	cases := 60
	if *thorough {
		cases = 150
	}
	missed := 0
	for seed := range uint64(cases) {
		r := rand.New(rand.NewPCG(seed, 3))
		n := 1 + r.IntN(6)
		strokes := ordertest.RandomStrokes(r, n)
		home, park := pt(0, 0), pt(100*r.Float64(), 0)
		got, err := Order([][]paths.Stroke{strokes}, Options{Home: home, Park: park})
		if err != nil {
			t.Fatal(err)
		}
		if want := shortest(strokes, home, park); got.TravelMM > want*(1+1e-9) {
			t.Logf("seed %d: %d strokes, %.6f mm, best %.6f", seed, n, got.TravelMM, want)
			missed++
		}
	}
	if missed > 0 {
		t.Errorf("%d of %d cases are not the shortest", missed, cases)
	}
}
