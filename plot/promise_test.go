package plot

import (
	"context"
	"flag"
	"path/filepath"
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/language"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

var thorough = flag.Bool("thorough", false, "every design on every machine and under every blade, not a fifth of them")

var everyPromise = flag.Bool("everypromise", false, "judge the bytes of every design, not of three")

// TestPromise: what the bytes of a program draw is within the tolerance of the
// design in every language, the machine's unit and all. Nothing is snapped, so the
// design is what is asked. Where the unit is too coarse for the tolerance, the job
// knows how far it may stray, and keeps that.
func TestPromise(t *testing.T) {
	files := []string{demoFile, "../testdata/designs/fern.svg", "../testdata/designs/feature-transforms.svg"}
	if *everyPromise {
		all, err := filepath.Glob("../testdata/designs/*.svg")
		if err != nil || len(all) < 10 {
			t.Fatalf("%d designs, %v", len(all), err)
		}
		for _, f := range all {
			if name := filepath.Base(f); name != "feature-notes.svg" && name != "net-loft-carpet.svg" && name != "stair-runner.svg" { // one needs a font, two a larger machine
				files = append(files, f)
			}
		}
	}
	for i, file := range files {
		d := programtest.ReadDesign(t, file)
		for _, l := range profiles.Languages {
			for _, c := range []struct {
				tol, unit paths.Length
				scale     [2]float64
			}{{0.05, 0.025, [2]float64{1, 1}}, {0.03, 0.025, [2]float64{1.003, 0.998}}, {0.01, 0.025, [2]float64{1, 1}}, {0.05, 0.1, [2]float64{1, 1}}} {
				if i > 0 && !*everyPromise && (c.tol != 0.05 || c.unit > 0.025) {
					continue
				}
				promised, strays, bytes := offDesign(t, d, l, c.tol, c.unit, c.scale)
				t.Logf("%-24s %-6s within %.2f mm, unit %.3f: %.4f mm of %.4f, %d bytes", filepath.Base(file), l, c.tol, c.unit, strays, promised, bytes)
				if strays > promised {
					t.Errorf("%s in %s strays by %.4f mm, and %.4f are promised", file, l, strays, promised)
				}
				if coarse := promised > float64(c.tol)*1.0001; coarse != (l != profiles.GCode && c.tol < 0.02 || l == profiles.HPGL && c.unit > 0.025) {
					t.Errorf("%s in %s, tolerance %v, unit %v: %.4f mm are promised", file, l, c.tol, c.unit, promised)
				}
			}
		}
	}
}

// offDesign returns how far a job promises to keep to the design, how far its bytes
// really stray, both ways, and how many there are.
func offDesign(t *testing.T, d paths.Design, l profiles.Language, tol, unit paths.Length, scale [2]float64) (promised, strays float64, bytes int) {
	t.Helper()
	s := job.Defaults()
	s.Tolerance, s.Language, s.Effort, s.NoSnap, s.Width = tol, l, "quick", true, 300
	in := jobtest.Inputs(t, d, s)
	in.Machine.HPGL.Unit, in.Machine.Calib.Scale = unit, scale
	return offAsked(t, in, s)
}

// offAsked returns the same of any job, against the strokes that are asked for, which are
// the design's own, or what snapping made of them.
func offAsked(t *testing.T, in job.Inputs, s job.Settings) (promised, strays float64, bytes int) {
	t.Helper()
	j, err := Make(context.Background(), in, s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range j.PenRuns {
		p, err := language.ReadAny(t.Context(), r.File, r.Text, &in.Machine)
		if err != nil {
			t.Fatal(err)
		}
		bytes += len(r.Text)
		promised = max(promised, j.Stray(r.Pen))
		for i, got := range p.Strokes() {
			const res = 0.0005
			strays = max(strays, deviation.Apart(r.Asked[i].Stroke, got, res))
		}
	}
	return promised, strays, bytes
}

// TestPromiseOfCurves: curves of many kinds, snapped or not, at three tolerances, are drawn
// by the bytes of every language within what is promised. That is the tolerance, unless
// the plotter's unit is too coarse for it, which is then told.
func TestPromiseOfCurves(t *testing.T) {
	for _, d := range jobtest.Curved() {
		if !*everyPromise && d.Name != "letters" {
			continue
		}
		for _, l := range profiles.Languages {
			for _, tol := range []paths.Length{0.02, 0.05, 0.2} {
				if !*everyPromise && tol != 0.05 {
					continue
				}
				var strays, promised [2]float64
				var bytes [2]int
				for k := range 2 {
					s := job.Defaults()
					s.Tolerance, s.Language, s.Effort, s.NoSnap, s.Width = tol, l, "quick", k == 0, 360
					promised[k], strays[k], bytes[k] = offAsked(t, jobtest.Inputs(t, d.Design, s), s)
					if strays[k] > promised[k] {
						t.Errorf("%s in %s, snapped %v, within %v: strays by %.4f mm, and %.4f are promised", d.Name, l, k == 1, tol, strays[k], promised[k])
					}
				}
				t.Logf("%-10s %-6s within %.2f mm: %.4f mm of %.4f, snapped %.4f of %.4f; %d and %d bytes", d.Name, l, float64(tol), strays[0], promised[0], strays[1], promised[1], bytes[0], bytes[1])
			}
		}
	}
}
