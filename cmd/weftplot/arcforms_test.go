package main

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// form is one of the ways in which G-code can be written.
type form struct {
	arcs    profiles.ArcForm
	compact bool
}

var forms = []form{{profiles.ByCentre, false}, {profiles.ByRadius, false}, {profiles.ByRadius, true}}

// TestArcForms prepares designs 400 mm wide for a controller of each form of arcs and
// words, and judges the finished bytes by a reader of this test's own: what they draw is
// within the tolerance of what is asked, both ways. The table shows what they take beside
// the same job, with the same lifts, travels and remarks, whose curves are cut evenly into
// chords within the same tolerance.
//
// Written in the shortest form, a curved design takes a third of that at most, while the
// pen is down and as a whole, however short its strokes are.
func TestArcForms(t *testing.T) {
	t.Logf("%-24s %6s %6s %7s   %7s   %-23s %8s %8s  %s", "bytes", "centre", "radius", "compact", "chords", "of chords, in each form", "pen down", "a stroke", "strays by, mm")
	for _, d := range arcFormDesigns(t) {
		var bytes, down [3]int
		var strays [3]float64
		var lines float64
		var chords, chordsDown int
		for i, f := range forms {
			j := preparedFor(t, d.Design, f)
			bytes[i], down[i], strays[i] = judgedBytes(t, j)
			lines = linesAStroke(j)
			if strays[i] > float64(j.Settings.Tolerance) {
				t.Errorf("%s in form %v strays by %.4f mm", d.Name, f, strays[i])
			}
			if i == 0 {
				chords, chordsDown = asChords(t, j)
			}
		}
		part := func(n, of int) float64 { return float64(n) / float64(of) }
		whole, drawn := part(bytes[2], chords), part(down[2], chordsDown)
		t.Logf("%-24s %6d %6d %7d   %7d   %.3f %.3f %.3f       %8.3f %8.1f  %.4f %.4f %.4f", d.Name, bytes[0], bytes[1], bytes[2], chords,
			part(bytes[0], chords), part(bytes[1], chords), whole, drawn, lines, strays[0], strays[1], strays[2])
		if bytes[1] > bytes[0] || bytes[2] > bytes[1] {
			t.Errorf("%s takes %d bytes by centres, %d by radii, and %d in short", d.Name, bytes[0], bytes[1], bytes[2])
		}
		switch curved := chordsDown > 2*down[0]; {
		case curved && drawn > 0.33:
			t.Errorf("%s takes %.3f of what chords take while the pen is down", d.Name, drawn)
		case curved && whole > 0.33, whole > 1:
			t.Errorf("%s takes %.3f of what chords take, at %.1f lines a stroke", d.Name, whole, lines)
		}
	}
}

// arcFormDesigns returns the designs that are judged: some, or all that there are.
func arcFormDesigns(t *testing.T) []jobtest.CurvedDesign {
	t.Helper()
	files := []string{"../../testdata/designs/fern.svg", "../../testdata/designs/net-loft-carpet.svg"}
	out := jobtest.Curved()
	if *everyDesign {
		var err error
		if files, err = filepath.Glob("../../testdata/designs/*.svg"); err != nil || len(files) < 10 {
			t.Fatalf("%d designs, %v", len(files), err)
		}
		files = append(files, "demo/lighthouse-mat.svg")
	} else {
		out = slices.DeleteFunc(out, func(d jobtest.CurvedDesign) bool { return d.Name != "letters" && d.Name != "fronds" })
	}
	for _, file := range files {
		if filepath.Base(file) != "feature-notes.svg" { // its words need a font
			out = append(out, jobtest.CurvedDesign{Name: filepath.Base(file), Design: programtest.ReadDesign(t, file)})
		}
	}
	return out
}

// preparedFor returns the job of a design for a large machine that is written to in a form.
func preparedFor(t *testing.T, d paths.Design, f form) plot.Job {
	t.Helper()
	s := job.Defaults()
	s.Effort, s.Width, s.NoSnap = "quick", 400, true
	in := jobtest.Inputs(t, d, s)
	in.Machine.GCode.Arcs, in.Machine.GCode.Compact, in.Machine.Area = f.arcs, f.compact, [2]paths.Length{1800, 1800}
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
			const res = 0.0005
			got, want := paths.Polyline(pts...), r.Asked[i].Stroke
			strays = max(strays, deviation.Apart(got, want, res))
		}
	}
	return bytes, down, strays
}

// linesAStroke returns how many lines of a program are drawn for a stroke, on average.
func linesAStroke(j plot.Job) float64 {
	lines, strokes := 0, 0
	for _, r := range j.PenRuns {
		strokes += r.Totals.Strokes
		for _, b := range r.Program.Blocks {
			if b.Kind == program.Draw {
				lines++
			}
		}
	}
	return float64(lines) / float64(strokes)
}

// penDownBytes returns how long the lines are that are said while the pen is down.
func penDownBytes(text []byte, pen profiles.Lift) int {
	n, isDown := 0, false
	bare := func(line string) string { return strings.Join(strings.Fields(line), "") }
	for line := range strings.Lines(string(text)) {
		switch word := bare(line); {
		case word == bare(pen.Up[0]):
			isDown = false
		case isDown:
			n += len(line)
		default:
			isDown = word == bare(pen.Down[len(pen.Down)-1])
		}
	}
	return n
}

// asChords returns how long the programs of a job are when each stroke is cut evenly into
// chords, and what is said of that while the pen is down. All else is as in the job: chords
// may stray by four fifths of the tolerance, and the rounding of their ends by the fifth
// that the job's own has.
func asChords(t *testing.T, j plot.Job) (whole, down int) {
	t.Helper()
	tol := float64(j.Settings.Tolerance)
	for _, r := range j.PenRuns {
		p := program.Program{Tolerance: 0.2 * tol}
		stroke, at := 0, paths.Point{}
		for _, b := range r.Program.Blocks {
			switch {
			case b.Kind == program.Draw:
				continue
			case b.Kind == program.Travel && stroke < len(r.Asked): // to where a stroke begins, before rounding
				b.Curve = paths.Line{A: b.Curve.Start(), B: r.Asked[stroke].Start()}
			}
			p.Blocks = append(p.Blocks, b)
			if b.Kind != program.PenDown {
				continue
			}
			pts := r.Asked[stroke].Flatten(0.8 * tol)
			if before := p.Blocks[len(p.Blocks)-2]; before.Kind != program.Travel { // where the last one ends
				pts[0] = at
			}
			at = pts[len(pts)-1]
			for _, c := range paths.Polyline(pts...) {
				p.Blocks = append(p.Blocks, program.Block{Kind: program.Draw, Curve: c, Feed: r.Feed})
			}
			stroke++
		}
		text, err := language.Write(context.Background(), p, j.Inputs.Machine)
		if err != nil {
			t.Fatal(err)
		}
		whole += len(text)
		down += penDownBytes(text, j.Inputs.Machine.Lift)
	}
	return whole, down
}
