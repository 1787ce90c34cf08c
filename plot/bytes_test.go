package plot

import (
	"context"
	"path/filepath"
	"testing"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// demoFile is the demonstration's design.
const demoFile = "../cmd/weftplot/demo/lighthouse-mat.svg"

// measured are the designs that bytes are counted of. The runner is straight, has
// nothing to save, and stands for comparison.
var measured = []struct {
	file   string
	curved bool
}{
	{demoFile, true},
	{"../testdata/designs/anchor-coaster.svg", true},
	{"../testdata/designs/fern.svg", true},
	{"../testdata/designs/rosette.svg", true},
	{"../testdata/designs/welcome-half-round.svg", true},
	{"../testdata/designs/feature-transforms.svg", true},
	{"../testdata/designs/net-loft-carpet.svg", true},
	{"../testdata/designs/stair-runner.svg", false},
}

// TestBytes prepares designs in their own size, the longest smaller, and compares what their programs
// take, in bytes a metre, with what the same strokes take as plain short lines
// within the same tolerance, by the same writer. In G-code a curved one is under
// a third; in HP-GL/2 it is under two thirds of the same points in HP-GL, as both
// begin an instruction anew every 12 mm. Half of the designs are measured with -thorough only.
func TestBytes(t *testing.T) {
	t.Logf("%-24s %4s %7s   %18s   %24s", "design", "tol", "m", "G-code, lines", "HP-GL, HP-GL/2, lines")
	for i, c := range measured {
		if !*thorough && i != 0 && i%3 != 1 {
			continue
		}
		d := programtest.ReadDesign(t, c.file)
		tols := []paths.Length{0.05}
		if i == 0 {
			tols = append(tols, 0.02)
		}
		for _, tol := range tols {
			g, lines := programBytes(t, d, tol, profiles.GCode)
			h, lists := programBytes(t, d, tol, profiles.HPGL)
			e, encoded := programBytes(t, d, tol, profiles.HPGL2)
			metres := paths.LengthOf(d.Strokes()) / 1000
			per := func(n int) float64 { return float64(n) / metres }
			t.Logf("%-24s %.2f %7.2f   %5.0f %5.0f %3.0f %%   %5.0f %5.0f %5.0f %5.0f %3.0f %%", filepath.Base(c.file), tol, metres,
				per(g), per(lines), 100*per(g)/per(lines), per(h), per(e), per(lists), per(encoded), 100*per(encoded)/per(lists))
			if c.curved && 3*g > lines {
				t.Errorf("%s within %v: %d bytes of G-code, %d as plain lines", c.file, tol, g, lines)
			}
			if c.curved && 3*encoded > 2*lists {
				t.Errorf("%s within %v: %d bytes encoded, %d as lists", c.file, tol, encoded, lists)
			}
		}
	}
}

// programBytes returns the size of the program of a design, and of its strokes
// as plain lines.
func programBytes(t *testing.T, d paths.Design, tol paths.Length, l profiles.Language) (all, lines int) {
	s := job.Defaults()
	s.Tolerance, s.Language, s.Effort = tol, l, "quick"
	in := jobtest.Inputs(t, d, s)
	in.Machine.Area, in.Machine.Origin = [2]paths.Length{1800, 1800}, "centre" // all that HP-GL can number
	switch b := d.Bounds(); {                                                  // for the longest there is no machine
	case b.Width() > 1500:
		s.Width = 1500
	case b.Height() > 1500:
		s.Height = 1500
	}
	j, err := Make(context.Background(), in, s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range j.PenRuns {
		all += len(r.Text)
		var plain []paths.Stroke
		for _, a := range r.Asked {
			plain = append(plain, paths.Polyline(a.Stroke.Flatten(float64(tol))...))
		}
		text, err := language.Write(context.Background(), program.Program{Blocks: programtest.Blocks(r.Feed, plain...)}, in.Machine)
		if err != nil {
			t.Fatal(err)
		}
		lines += len(text)
	}
	return all, lines
}
