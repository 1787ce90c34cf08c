package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/program"
)

// TestOnAxes: the speed along a direction is the least of axis limit over its
// share of the direction; by hand.
func TestOnAxes(t *testing.T) {
	l := Limits{Axes: [2]float64{40, 30}}
	to := func(x, y float64) paths.Curve { return paths.Line{B: paths.Point{X: x, Y: y}} }
	for _, c := range []struct {
		curve paths.Curve
		want  float64
	}{
		{to(7, 0), 40}, {to(0, -7), 30}, {to(3, 4), 37.5}, {to(-4, 3), 50},
		{to(0, 0), math.Inf(1)},
		{paths.Circle(paths.Point{}, 5), 30},
		// Over the top of a circle, between 30 degrees up and 30 degrees down.
		{paths.ArcAround(paths.Point{}, 5, math.Pi*2/3, -math.Pi/3), 40},
		// From 60 degrees up to straight up.
		{paths.ArcAround(paths.Point{}, 5, -math.Pi/6, math.Pi/6), 30},
		{paths.Cubic{A: paths.Point{}, B: paths.Point{X: 1}, C: paths.Point{X: 2}, D: paths.Point{X: 3}}, 40},
	} {
		if got := l.OnAxes(c.curve); math.Abs(got-c.want) > 1e-9 && got != c.want {
			t.Errorf("OnAxes(%v) = %v, want %v", c.curve, got, c.want)
		}
	}
	if got := (Limits{}).OnAxes(to(1, 1)); !math.IsInf(got, 1) {
		t.Errorf("without limits it is %v", got)
	}
}

// TestAxesKeepTheirLimits: with limited feeds no axis exceeds its speed
// anywhere on any curve.
func TestAxesKeepTheirLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := limits
		speed := rapid.Float64Range(5, 80)
		l.Axes = [2]float64{speed.Draw(t, "x"), speed.Draw(t, "y")}
		for _, b := range LimitFeeds(draws(curves().Draw(t, "stroke")), l) {
			if b.Kind != program.Draw || b.Curve.Length() == 0 {
				continue
			}
			const slack = 1 + 1e-9
			for k := range 200 {
				d := b.Curve.Tangent(float64(k) / 199)
				if b.Feed*math.Abs(d.X) > l.Axes[0]*slack || b.Feed*math.Abs(d.Y) > l.Axes[1]*slack {
					t.Fatalf("%v mm/s on %v is %v, %v mm/s on the axes, over %v", b.Feed, b.Curve, b.Feed*d.X, b.Feed*d.Y, l.Axes)
				}
			}
		}
	})
}
