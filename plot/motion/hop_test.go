package motion

import (
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/plot/program"
)

// Closed forms for v = 50 mm/s, a = 500 mm/s²: 100 mm take 2.1 s, 5 mm 0.2 s, 2
// mm 0.126491 s (textbook kinematics). The planner gives the same time for a
// travel.
func TestHopTime(t *testing.T) {
	l := Limits{Draw: 50, Travel: 50, Accel: 500, Corner: 5}
	hop := HopTime(l)
	for d, want := range map[float64]float64{100: 2.1, 5: 0.2, 2: 0.126491, 0: 0} {
		if got := hop(d); math.Abs(got-want) > 1e-6 {
			t.Errorf("HopTime(%g) = %g, want %g", d, got, want)
		}
		if d == 0 {
			continue
		}
		b := program.Block{Kind: program.Travel, Curve: paths.Line{B: paths.Point{X: d}}}
		if got := Time([]program.Block{b}, l).Total; math.Abs(got-want) > 1e-6 {
			t.Errorf("the planner takes %g s for %g mm, want %g", got, d, want)
		}
	}
}
