package plot

import (
	"context"
	"testing"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/profiles"
)

// TestFillsTheReach: what fits the machine exactly is drawn, however coarse the
// tolerance: neither the rounding of numbers nor the fitting of arcs leads out of the
// reach.
func TestFillsTheReach(t *testing.T) {
	var round paths.Stroke // an ellipse, by four cubics
	for _, c := range paths.Circle(paths.Point{X: 1, Y: 1}, 1).Cubics() {
		round = append(round, c)
	}
	strokes := []paths.Stroke{
		paths.Polyline(paths.Point{}, paths.Point{X: 600}, paths.Point{X: 600, Y: 900}, paths.Point{Y: 900}, paths.Point{}),
		round.Transform(paths.Scale(300, 450)),
		{paths.Circle(paths.Point{X: 300, Y: 300}, 300)},
		{paths.ArcBulge(paths.Point{X: 600, Y: 500}, paths.Point{X: 600, Y: 700}, -0.4)},
	}
	for _, form := range profiles.ArcForms {
		for _, scale := range [][2]float64{{1, 1}, {1.0137, 0.9871}} {
			for _, tol := range []paths.Length{0.02, 0.05, 0.2, 0.5} {
				s := job.Defaults()
				s.NoSnap, s.Effort, s.Tolerance = true, "quick", tol
				in := jobtest.Inputs(t, jobtest.DesignOf(strokes), s)
				in.Machine.GCode.Arcs, in.Machine.Calib.Scale = form, scale
				if _, err := Make(context.Background(), in, s, Options{}); err != nil {
					t.Errorf("by %s, scale %v, within %v: %v", form, scale, tol, err)
				}
			}
		}
	}
}
