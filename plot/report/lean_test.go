package report_test

import (
	"bytes"
	"context"
	"testing"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/report"
)

// A lean job has the files of the same job with every step's lines kept, and of a single
// rug it keeps no lines of the steps before.
func TestLeanJobsHaveTheSameFiles(t *testing.T) {
	at := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	square := paths.Polyline(at(0, 0), at(90, 0), at(90, 60), at(0, 60), at(0, 0))
	design := jobtest.DesignOf(
		[]paths.Stroke{square, paths.Polyline(at(10, 11), at(70, 11.4)), {paths.Circle(at(45, 30), 12)}},
		[]paths.Stroke{paths.Polyline(at(20, 50), at(30, 40), at(40, 50)), {paths.Cubic{A: at(50, 50), B: at(55, 40), C: at(65, 40), D: at(70, 50)}}},
	)
	runner := jobtest.DesignOf([]paths.Stroke{paths.Polyline(at(0, 0), at(90, 0), at(90, 4), at(0, 4), at(0, 0))}) // too long for the machine
	for name, s := range map[string]job.Settings{
		"plain":   {Width: 120},
		"paper":   {Width: 120, Machine: job.NoMachine, Print: "a4"},
		"kit":     {Width: 120, Border: "edge", Margin: "30mm", Copies: 5, Ticks: true},
		"panels":  {Width: 910, Panels: true, NoSnap: true, Machine: "gantry-servo"},
		"doubted": {Width: 120, Transfer: job.IronOn, Really: true},
		"blade":   {Width: 120, Machine: "knife-cutter", Pen: "drag-knife", Transfer: job.Tracing},
	} {
		s.Effort = "quick"
		design := design
		if s.Panels {
			design = runner
		}
		var kept []job.File
		for _, lean := range []bool{false, true} {
			j, err := plot.Make(context.Background(), jobtest.Inputs(t, design, s.Complete()), s, plot.Options{Lean: lean})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			_, files, err := report.Files(j, nil, report.Options{})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if !lean {
				kept = files
				continue
			}
			if len(files) != len(kept) {
				t.Fatalf("%s: a lean job has %d files, not %d", name, len(files), len(kept))
			}
			for i, f := range files {
				if f.Name != kept[i].Name || !bytes.Equal(f.Data, kept[i].Data) {
					t.Errorf("%s: %s of a lean job is not what %s is", name, f.Name, kept[i].Name)
				}
			}
			if several := name == "kit" || name == "panels"; several != (len(j.Loads) > 1) {
				t.Errorf("%s: the job has %d loads", name, len(j.Loads))
			}
			if n := linesOfSteps(j); len(j.Loads) == 0 && n > 0 {
				t.Errorf("%s: a lean job keeps %d strokes of the steps before", name, n)
			}
		}
	}
}

// linesOfSteps counts the strokes that a job keeps of the steps before its own lines.
func linesOfSteps(j plot.Job) (n int) {
	n = len(j.Inputs.Design.Strokes()) + len(j.Field.Strokes()) + len(j.Lines) + len(j.Moves.Strokes)
	for _, s := range j.Artwork {
		if s.Stroke != nil {
			n++
		}
	}
	if j.Settings.HasMachine() {
		n += len(j.Placed)
	}
	return n
}
