package report

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/jobfolder"
)

// The report of a kit names its copies and loads, every file that it names is in the
// folder, and the sheet says what to have ready.
func TestReportOfAKit(t *testing.T) {
	d := jobtest.DesignOf([]paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: 100}, paths.Point{X: 100, Y: 60}, paths.Point{Y: 60}, paths.Point{})})
	s := job.Settings{Width: 120, Border: "edge", Margin: "30mm", Copies: 8, Effort: "quick"}
	j, err := plot.Make(context.Background(), jobtest.Inputs(t, d, s.Complete()), s, plot.Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, files, err := Files(j, nil, Options{})
	if err != nil {
		t.Fatal(err)
	}
	byName := map[string][]byte{}
	for _, f := range files {
		byName[f.Name] = f.Data
	}
	var r struct {
		Files    []string
		Strokes  int
		Programs []struct{ File string }
		Copies   []struct {
			N, Load    int
			AtChannels [2]float64 `json:"at_channels"`
		}
		Loads []struct {
			N          int
			Files      []string
			NeedsMarks *bool      `json:"needs_marks"`
			At         [2]float64 `json:"at_mm"`
			Points     []any
			Copies     []int
		}
		Pens []struct {
			Load, Strokes int
			Copies        []jobfolder.CopyRun
		}
	}
	if err := json.Unmarshal(byName[jobfolder.ReportName], &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Copies) != 8 || len(r.Loads) != len(j.Loads) || len(r.Loads) < 2 || len(r.Programs) != len(r.Loads) {
		t.Fatalf("%d copies, %d loads, %d programs", len(r.Copies), len(r.Loads), len(r.Programs))
	}
	if r.Copies[0].AtChannels != [2]float64{} {
		t.Errorf("copy 1 lies at %v", r.Copies[0].AtChannels)
	}
	for _, name := range r.Files {
		if byName[name] == nil {
			t.Errorf("%s is not in the folder", name)
		}
	}
	for i, l := range r.Loads {
		if l.N != i+1 || l.NeedsMarks == nil || *l.NeedsMarks || l.Points == nil || len(l.Files) != 1 || byName[l.Files[0]] == nil {
			t.Errorf("load %+v", l)
		}
		for _, n := range l.Copies {
			if r.Copies[n-1].Load != l.N {
				t.Errorf("copy %d is in load %d and in load %d", n, r.Copies[n-1].Load, l.N)
			}
		}
	}
	total := 0
	for _, p := range r.Pens {
		sum := 0
		for _, c := range p.Copies {
			sum += c.Strokes
		}
		if sum != p.Strokes {
			t.Errorf("load %d: %d strokes, %d of copies", p.Load, p.Strokes, sum)
		}
		total += sum
	}
	if total != r.Strokes {
		t.Errorf("%d strokes, %d of programs", r.Strokes, total)
	}
	for _, want := range []string{"COPIES", "LOADS", "lay the lower left corner of copy 1 at", "PENS TO HAVE READY", "1, at 150 m each", "Cut along a thread"} {
		if !strings.Contains(strings.Join(strings.Fields(string(byName["sheet.txt"])), " "), want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
}
