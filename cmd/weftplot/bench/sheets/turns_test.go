package sheets

import (
	"context"
	"math"
	"os"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/plot/job"
)

// TestTurns makes a job for a cloth that leans, on which the front is listed
// apart from the back: each of its lines, carried to the machine here by the
// registration, is to lie on the line of the back that has its turn, and no turn
// is given twice.
func TestTurns(t *testing.T) {
	design, err := os.ReadFile("../../demo/lighthouse-mat.svg")
	if err != nil {
		t.Fatal(err)
	}
	s := job.Defaults()
	s.Design, s.Width, s.Marks, s.Effort, s.Border = "mat.svg", 350, "marks.toml", "quick", "3"
	s.PenFor = map[string]string{"sea": "extra-fine-marker"}
	var marks []cloth.Mark
	for _, p := range [][2]float64{{0, 0}, {168, 0}, {0, 248}, {168, 248}, {84, 124}} {
		x, y := p[0]*25.4/12, p[1]*25.4/13
		marks = append(marks, cloth.Mark{Place: weave.Place{Across: p[0], Along: p[1]}, At: paths.Point{X: 100 + x + 0.02*y, Y: 100 + y - 0.01*x}})
	}
	files := map[string][]byte{"mat.svg": design, "marks.toml": cloth.FormatMarks(marks)}
	in, s, _, err := job.ReadInputs(func(name string, _ int) ([]byte, error) { return files[name], nil }, s)
	if err != nil {
		t.Fatal(err)
	}
	made, err := plot.Make(context.Background(), in, s, plot.Options{})
	if err != nil {
		t.Fatal(err)
	}
	got := turns(made.Placed, made.PenRuns)
	sorted := slices.Sorted(slices.Values(got))
	if len(slices.Compact(slices.Clone(sorted))) != len(got) || sorted[len(sorted)-1] != len(got)-1 {
		t.Fatalf("the turns are no order of %d lines: %v", len(got), sorted)
	}
	var drawn []plot.Stroke
	for _, r := range made.PenRuns {
		drawn = append(drawn, r.Ways...)
	}
	for i, n := range got {
		want := made.OnMachine(made.Drawn[i].Stroke)
		if made.Drawn[i].Layer != drawn[n].Layer {
			t.Errorf("line %d of %s has the turn of one of %s", i, made.Drawn[i].Layer, drawn[n].Layer)
		}
		for _, p := range want.Flatten(0.05) {
			if d := distance(p, drawn[n].Stroke.Flatten(0.05)); d > 0.2 {
				t.Errorf("line %d: %v lies %.2f mm from the line drawn in its turn", i, p, d)
				break
			}
		}
	}
}

// distance is how far p lies from a polyline, by trying all its pieces.
func distance(p paths.Point, line []paths.Point) float64 {
	best := p.Dist(line[0])
	for i := 1; i < len(line); i++ {
		a, d := line[i-1], line[i].Sub(line[i-1])
		f := 0.0
		if q := d.X*d.X + d.Y*d.Y; q > 0 {
			f = math.Min(1, math.Max(0, ((p.X-a.X)*d.X+(p.Y-a.Y)*d.Y)/q))
		}
		best = math.Min(best, p.Dist(a.Add(d.Mul(f))))
	}
	return best
}
