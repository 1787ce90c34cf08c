package main

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
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
// tolerance. The lines between lowering and lifting the pen are also counted by themselves,
// as nothing makes those around them shorter: of a curved design they take a third of what
// even chords take at most.
func TestArcForms(t *testing.T) {
	files := []string{"../../testdata/designs/fern.svg", "../../testdata/designs/feature-clip.svg", "../../testdata/designs/net-loft-carpet.svg"}
	if *everyDesign {
		var err error
		if files, err = filepath.Glob("../../testdata/designs/*.svg"); err != nil || len(files) < 10 {
			t.Fatalf("%d designs, %v", len(files), err)
		}
		files = append(files, "demo/lighthouse-mat.svg")
	}
	t.Logf("%-26s %6s %6s   %8s %8s   %-13s   %s", "bytes", "centre", "radius", "chords", "fewest", "all, pen down", "strays by, mm: centre, radius")
	for _, file := range files {
		d := programtest.ReadDesign(t, file)
		if filepath.Base(file) == "feature-notes.svg" {
			continue // its words need a font
		}
		var bytes, down [2]int
		var strays [2]float64
		var chords, chordsDown, fewest int
		for i, form := range profiles.ArcForms {
			j := preparedFor(t, d, form)
			bytes[i], down[i], strays[i] = judgedBytes(t, j)
			if strays[i] > float64(j.Settings.Tolerance) {
				t.Errorf("%s by %s strays by %.4f mm", file, form, strays[i])
			}
			chords, chordsDown, fewest = asChords(t, j)
		}
		whole, drawn := float64(bytes[1])/float64(chords), float64(down[1])/float64(chordsDown)
		t.Logf("%-26s %6d %6d   %8d %8d   %.3f %.3f     %.4f %.4f", filepath.Base(file), bytes[0], bytes[1], chords, fewest, whole, drawn, strays[0], strays[1])
		if curved := chords > 2*bytes[0]; bytes[1] > bytes[0] || curved && (whole > 0.4 || drawn > 0.33) {
			t.Errorf("%s takes %d bytes by centres, %d by radii, %d as chords, and by radii %.3f of chords while the pen is down", file, bytes[0], bytes[1], chords, drawn)
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

// judgedBytes returns how long the programs of a job are, how much of that is said while
// the pen is down, and how far what they draw is from what is asked.
func judgedBytes(t *testing.T, j plot.Job) (bytes, down int, strays float64) {
	t.Helper()
	for _, r := range j.PenRuns {
		bytes += len(r.Text)
		down += penDownBytes(r.Text, j.Inputs.Machine.Lift)
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
			strays = max(strays, deviation.Apart(got, want, res))
		}
	}
	return bytes, down, strays
}

// penDownBytes returns how long the lines are that are said while the pen is down.
func penDownBytes(text []byte, pen profiles.Lift) int {
	n, isDown := 0, false
	for line := range strings.Lines(string(text)) {
		switch word := strings.TrimSpace(line); {
		case word == pen.Up[0]:
			isDown = false
		case isDown:
			n += len(line)
		default:
			isDown = word == pen.Down[len(pen.Down)-1]
		}
	}
	return n
}

// asChords returns how long the programs are when curves are cut into chords within the
// tolerance: evenly, and what is said of that while the pen is down; and the fewest.
func asChords(t *testing.T, j plot.Job) (even, down, fewest int) {
	t.Helper()
	tol := float64(j.Settings.Tolerance)
	write := func(r plot.PenRun, chords func(paths.Stroke) paths.Stroke) []byte {
		var cut []paths.Stroke
		for _, a := range r.Asked {
			cut = append(cut, chords(a.Stroke))
		}
		text, err := language.Write(context.Background(), program.Program{Blocks: programtest.Blocks(r.Feed, cut...)}, j.Inputs.Machine)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	for _, r := range j.PenRuns {
		text := write(r, func(s paths.Stroke) paths.Stroke { return paths.Polyline(s.Flatten(tol)...) })
		even += len(text)
		down += penDownBytes(text, j.Inputs.Machine.Lift)
		fewest += len(write(r, func(s paths.Stroke) paths.Stroke { return fit.Lines(s, tol) }))
	}
	return even, down, fewest
}
