package plot

import (
	"context"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// tip follows a blade whose holder goes the way: it moves towards the holder's
// axis, always the offset away, which is the equation of pursuit, by Euler's
// method in steps of a hundredth of a mm. It returns where the tip goes, thinned
// out where it hardly turns, and where it points in the end.
func tip(way paths.Stroke, heading paths.Point, offset float64) (paths.Stroke, paths.Point) {
	const step, turn, apart = 0.01, 0.02, 0.02
	axis := way.Start()
	at := axis.Sub(heading.Mul(offset))
	out, kept := []paths.Point{at}, heading
	for _, c := range way {
		n := int(math.Ceil(c.Length() / step))
		for k := 1; k <= n; k++ {
			axis = c.At(float64(k) / float64(n))
			heading = axis.Sub(at).Unit()
			at = axis.Sub(heading.Mul(offset))
			if last := out[len(out)-1]; math.Abs(kept.Cross(heading)) > turn && at.Dist(last) > apart || at.Dist(last) > 0.5 {
				out, kept = append(out, at), heading
			}
		}
	}
	return paths.Polyline(append(out, at)...), heading
}

// blades are the built-in one, one of twice the offset, and one that turns itself
// and cuts twice.
func blades(t *testing.T) []profiles.Pen {
	p, err := profiles.PenNamed("drag-knife")
	if err != nil {
		t.Fatal(err)
	}
	wide, twice := p, p
	wide.Offset = 0.5
	twice.RunIn, twice.Passes = 8, 2
	return []profiles.Pen{p, wide, twice}
}

// TestBladeCutsTheDesign cuts every design and follows the tip of the blade along
// the program as it is written, in whole plotter units: within a tenth of a mm of
// the design everywhere, corners included, both ways. With -thorough those blades that cut
// once cut all designs, else a sixth of them each.
func TestBladeCutsTheDesign(t *testing.T) {
	files := append(programtest.DesignFiles(t, ".."), demoFile)
	for k, pen := range blades(t) {
		var worst float64
		where := ""
		for i, file := range files {
			if every := pen.Passes <= 1 && *thorough; !every && (i+k)%6 != 0 {
				continue // a sixth of them for each blade
			}
			j := cutJob(t, file, pen)
			off := cutError(t, file, j, pen)
			if off > worst {
				worst, where = off, filepath.Base(file)
			}
			if off > 0.1 {
				t.Errorf("%s: the tip of a blade of %s is %.3f mm off", filepath.Base(file), pen.Offset, off)
			}
		}
		t.Logf("offset %s, passes %d, run-in %s: the tip is %.4f mm off at most, in %s", pen.Offset, max(1, pen.Passes), pen.RunIn, worst, where)
	}
	// A blade of another offset than the pen's strays: the test sees it.
	other := blades(t)[1]
	j := cutJob(t, files[0], blades(t)[0])
	if off := cutError(t, files[0], j, other); off < 0.1 {
		t.Errorf("a blade of %s in a program for one of half that is %.3f mm off only", other.Offset, off)
	}
}

func cutJob(t *testing.T, file string, pen profiles.Pen) Job {
	t.Helper()
	d := programtest.ReadDesign(t, file)
	s := job.Defaults()
	s.Machine, s.Pen, s.Transfer, s.Effort, s.Width = "knife-cutter", pen.Name, job.Tracing, "quick", 350
	s.Really = true // one of the designs has words that are left out
	if b := d.Bounds(); b.Height() > 1.5*b.Width() {
		s.Width, s.Height = 0, 550
	}
	in := jobtest.Inputs(t, d, s)
	in.Pens[pen.Name] = pen
	j, err := Make(context.Background(), in, s, Options{})
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return j
}

// cutError returns how far the tip strays from the cuts of a job at most.
func cutError(t *testing.T, file string, j Job, pen profiles.Pen) float64 {
	t.Helper()
	r := j.PenRuns[0]
	ways := r.Program.Strokes()
	heading := paths.Point{X: 1}
	if pen.RunIn > 0 {
		if r.Ways[0].Layer != runInLayer {
			t.Fatalf("%s: there is no run-in", file)
		}
		heading = paths.Point{Y: -1} // it points anywhere but where it is to
		_, heading = tip(ways[0], heading, float64(pen.Offset))
		ways = ways[1:]
	}
	passes := max(1, pen.Passes)
	if len(ways) != passes*len(r.Asked) {
		t.Fatalf("%s: %d ways for %d cuts in %d passes", file, len(ways), len(r.Asked), passes)
	}
	var worst float64
	for i, way := range ways {
		var cut paths.Stroke
		cut, heading = tip(way, heading, float64(pen.Offset))
		want := r.Asked[i/passes].Stroke
		worst = max(worst, deviation.Of(want, cut, 0.03), deviation.Of(cut, want, 0.03))
	}
	return worst
}

// TestInnerIsCutFirst: what is cut out of a piece is cut before the piece comes
// loose; common practice.
func TestInnerIsCutFirst(t *testing.T) {
	square := func(r float64) paths.Stroke {
		p := func(x, y float64) paths.Point { return paths.Point{X: 100 + r*x, Y: 100 + r*y} }
		return paths.Polyline(p(-1, -1), p(1, -1), p(1, 1), p(-1, 1), p(-1, -1))
	}
	s := job.Defaults()
	s.Machine, s.Pen, s.Transfer, s.NoSnap = "knife-cutter", "drag-knife", job.Tracing, true
	j, err := Make(context.Background(), jobtest.Inputs(t, jobtest.DesignOf([]paths.Stroke{square(100), square(20), square(60)}), s), s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	before := 0.0
	for i, w := range j.PenRuns[0].Program.Strokes() {
		size := w.Bounds().Width()
		if size < before {
			t.Errorf("cut %d is %.0f mm wide, after one of %.0f mm", i+1, size, before)
		}
		before = size
	}
}

func TestRunInNeedsRoom(t *testing.T) {
	frame := paths.Polyline(paths.Point{}, paths.Point{X: 600}, paths.Point{X: 600, Y: 800}, paths.Point{Y: 800}, paths.Point{X: 0})
	s := job.Defaults()
	s.Machine, s.Pen, s.Transfer, s.NoSnap = "knife-cutter", "drag-knife", job.Tracing, true
	in := jobtest.Inputs(t, jobtest.DesignOf([]paths.Stroke{frame}), s)
	in.Machine.Area = [2]paths.Length{601, 801}
	pen := in.Pens["drag-knife"]
	pen.RunIn = 10
	in.Pens["drag-knife"] = pen
	_, err := Make(context.Background(), in, s, Options{})
	var f *fault.Error
	if !asFault(err, &f) || f.Kind != fault.Fit || !strings.Contains(err.Error(), "run_in") {
		t.Errorf("a run-in without room gives %v", err)
	}
}
