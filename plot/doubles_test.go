package plot

import (
	"context"
	"testing"

	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/program/programtest"
)

// TestDoublesSaveTime: drawing once what is given twice never takes longer, on machines
// whose pens take long to lift and on those that are quick.
func TestDoublesSaveTime(t *testing.T) {
	d := programtest.ReadDesign(t, "../testdata/designs/gull-runner.dxf")
	for machine, strokes := range map[string]int{"practice": 9, "gantry-servo": 9, "gantry-z": 9, "flatbed-hpgl": 49, "flatbed-hpgl2": 49} {
		if !*thorough && machine != "practice" && machine != "flatbed-hpgl" {
			continue
		}
		var times [2]float64
		for i, keep := range []bool{false, true} {
			s := job.Defaults()
			s.Effort, s.Width, s.Machine, s.KeepDoubles = "quick", 355.6, machine, keep
			j, err := Make(context.Background(), jobtest.Inputs(t, d, s), s, Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range j.PenRuns {
				times[i] += r.Timing.Total
			}
			if n := j.PenRuns[0].Totals.Strokes; !keep && n != strokes {
				t.Errorf("%s: %d strokes, want %d", machine, n, strokes)
			}
		}
		t.Logf("%s: %.1f s, %.1f s with doubles kept", machine, times[0], times[1])
		if times[0] > times[1]*1.001 {
			t.Errorf("%s: %.1f s, and %.1f s with doubles kept", machine, times[0], times[1])
		}
	}
}
