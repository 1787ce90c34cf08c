package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/program"
)

// TestLimitFeeds: at 500 mm/s² a radius of 2 mm allows sqrt(500·2) = 31.6 mm/s,
// one of 0.02 mm 3.16 mm/s.
func TestLimitFeeds(t *testing.T) {
	for _, c := range []struct {
		curve      paths.Curve
		feed, want float64
	}{
		{paths.Line{B: paths.Point{X: 5}}, 0, 50},
		{paths.Line{B: paths.Point{X: 5}}, 80, 50},
		{paths.Line{B: paths.Point{X: 5}}, 33.3, 33.3},
		{paths.Circle(paths.Point{}, 2), 0, 31},
		{paths.Circle(paths.Point{}, 2), 20, 20},
		{paths.Circle(paths.Point{}, 0.02), 0, 3.1},
		{paths.Circle(paths.Point{}, 1e-6), 0, 0.5},
		{paths.Circle(paths.Point{}, 0), 0, 50},
	} {
		b := []program.Block{{Kind: program.Draw, Curve: c.curve, Feed: c.feed}}
		if got := LimitFeeds(b, limits)[0].Feed; got != c.want {
			t.Errorf("a feed of %v on %v becomes %v, want %v", c.feed, c.curve, got, c.want)
		}
		if b[0].Feed != c.feed {
			t.Error("the input was changed")
		}
	}
	// The parabola y = x²/2 has its least radius, 1, in the middle.
	q := paths.Quadratic(paths.Point{X: -2, Y: 2}, paths.Point{Y: -2}, paths.Point{X: 2, Y: 2})
	if r := leastRadius(q); math.Abs(r-1) > 1e-3 {
		t.Errorf("the parabola bends to %v", r)
	}
}

// TestLimitedFeedsHold: no arc keeps a feed greater than its radius allows.
func TestLimitedFeedsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blocks := LimitFeeds(draws(curves().Draw(t, "stroke")), limits)
		for _, b := range blocks {
			arc, ok := b.Curve.(paths.Arc)
			if ok && b.Feed > slowest && b.Feed*b.Feed > limits.Accel*arc.Radius()*(1+1e-9) {
				t.Errorf("%v mm/s on a radius of %v", b.Feed, arc.Radius())
			}
			if b.Feed > limits.Draw || b.Feed <= 0 {
				t.Errorf("a feed of %v", b.Feed)
			}
		}
	})
}
