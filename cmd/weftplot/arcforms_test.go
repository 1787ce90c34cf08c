package main

import (
	"context"
	"path/filepath"
	"testing"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/fit"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// TestArcForms prepares designs 400 mm wide for a controller of each form of arcs, and
// judges the finished bytes by a reader of this test's own: what they draw is within the
// tolerance of what is asked, both ways. The table shows what they take beside the same
// strokes as chords: those of a curve that is cut evenly, and the fewest that keep the
// tolerance.
func TestArcForms(t *testing.T) {
	files := []string{"../../testdata/designs/fern.svg", "../../testdata/designs/feature-clip.svg", "../../testdata/designs/net-loft-carpet.svg"}
	if *everyDesign {
		var err error
		if files, err = filepath.Glob("../../testdata/designs/*.svg"); err != nil || len(files) < 10 {
			t.Fatalf("%d designs, %v", len(files), err)
		}
		files = append(files, "demo/lighthouse-mat.svg")
	}
	t.Logf("%-26s %6s %6s   %8s %8s   %s", "bytes", "centre", "radius", "chords", "fewest", "strays by, mm: centre, radius")
	for _, file := range files {
		d := programtest.ReadDesign(t, file)
		if filepath.Base(file) == "feature-notes.svg" {
			continue // its words need a font
		}
		var bytes [2]int
		var strays [2]float64
		var chords, fewest int
		for i, form := range profiles.ArcForms {
			j := preparedFor(t, d, form)
			bytes[i], strays[i] = judgedBytes(t, j)
			if strays[i] > float64(j.Settings.Tolerance) {
				t.Errorf("%s by %s strays by %.4f mm", file, form, strays[i])
			}
			chords, fewest = asChords(t, j)
		}
		t.Logf("%-26s %6d %6d   %8d %8d   %.4f %.4f", filepath.Base(file), bytes[0], bytes[1], chords, fewest, strays[0], strays[1])
		if bytes[1] > bytes[0] || float64(bytes[1]) > 0.4*float64(chords) && chords > 2*bytes[0] {
			t.Errorf("%s takes %d bytes by centres, %d by radii, %d as chords", file, bytes[0], bytes[1], chords)
		}
	}
}

// preparedFor returns the job of a design for a large machine of a form of arcs.
func preparedFor(t *testing.T, d paths.Design, form profiles.ArcForm) plot.Job {
	t.Helper()
	s := job.Defaults()
	s.Effort, s.Width, s.NoSnap = "quick", 400, true
	in := jobtest.Inputs(t, d, s)
	in.Machine.GCode.Arcs, in.Machine.Area = form, [2]paths.Length{1800, 1800}
	j, err := plot.Make(context.Background(), in, s, plot.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// judgedBytes returns how long the programs of a job are, and how far what they draw is
// from what is asked.
func judgedBytes(t *testing.T, j plot.Job) (bytes int, strays float64) {
	t.Helper()
	for _, r := range j.PenRuns {
		bytes += len(r.Text)
		lines, err := drawnByGcode(string(r.Text))
		if err != nil {
			t.Fatal(err)
		}
		if len(lines) != len(r.Asked) {
			t.Fatalf("%d strokes are drawn, not %d", len(lines), len(r.Asked))
		}
		for i, pts := range lines {
			const res = 0.001
			got, want := paths.Polyline(pts...), r.Asked[i].Stroke
			strays = max(strays, paths.Apart(got, want, res))
		}
	}
	return bytes, strays
}

// asChords returns how long the programs are when curves are cut into chords within the
// tolerance: evenly, and the fewest.
func asChords(t *testing.T, j plot.Job) (even, fewest int) {
	t.Helper()
	tol := float64(j.Settings.Tolerance)
	size := func(r plot.PenRun, chords func(paths.Stroke) paths.Stroke) int {
		var cut []paths.Stroke
		for _, a := range r.Asked {
			cut = append(cut, chords(a.Stroke))
		}
		text, err := language.Write(context.Background(), program.Program{Blocks: programtest.Blocks(r.Feed, cut...)}, j.Inputs.Machine)
		if err != nil {
			t.Fatal(err)
		}
		return len(text)
	}
	for _, r := range j.PenRuns {
		even += size(r, func(s paths.Stroke) paths.Stroke { return paths.Polyline(s.Flatten(tol)...) })
		fewest += size(r, func(s paths.Stroke) paths.Stroke { return fit.Lines(s, tol) })
	}
	return even, fewest
}
