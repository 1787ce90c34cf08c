package lying

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
)

var slack = Slack{Shift: 30, Turn: 3, Lean: 0.02, Bow: 0.02, Count: 0.01}

// The way to the machine and back leads to the same place.
func TestThereAndBack(t *testing.T) {
	g := weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13}
	for seed := range uint64(50) {
		r := rand.New(rand.NewPCG(seed, 1))
		c := Random(r, g, paths.Rect{Min: paths.Point{X: 100, Y: 900}, Max: paths.Point{X: 560, Y: 1600}}, paths.Point{X: 300, Y: 450}, slack)
		for range 20 {
			p := weave.Place{Across: 40 + 260*r.Float64(), Along: 440 + 400*r.Float64()}
			q := c.Place(c.Point(p))
			if d := math.Hypot(p.Across-q.Across, p.Along-q.Along); d > 1e-6 {
				t.Fatalf("seed %d: %v comes back as %v", seed, p, q)
			}
		}
	}
}

// A bow is measured from the chord, as a share of the width (ASTM D3882): worked by hand,
// 2 % of 500 mm is 10 mm.
func TestBow(t *testing.T) {
	c := Cloth{Grid: weave.Grid{Across: 2, Along: 2}, Box: paths.Rect{Max: paths.Point{X: 500, Y: 800}}, Bow: [2]float64{0.02, 0}}
	left, mid, right := c.Point(weave.Place{Across: 0, Along: 200}), c.Point(weave.Place{Across: 125, Along: 200}), c.Point(weave.Place{Across: 250, Along: 200})
	if off := mid.Y - (left.Y+right.Y)/2; math.Abs(off-10) > 1e-9 {
		t.Errorf("a thread bows by %g mm", off)
	}
}
