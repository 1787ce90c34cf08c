package plot

import (
	"bytes"
	"context"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
	_ "weftplot/paths/samecases"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// The promises that hold for any input: everything is drawn once and nothing
// else, inside the area, under the feed limit, pen up for travel and at the
// end; the same input gives the same bytes; and the bytes read back say the
// same as the report.
func TestAnyJobKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := jobtest.DesignOf(jobtest.Strokes(t), jobtest.Strokes(t))
		if b := d.Bounds(); b.Width() < 20 || b.Height() < 5 || b.Height() > 1.5*b.Width() {
			return // no rug
		}
		s := jobtest.Settings(t)
		// The widest border takes 6 channels and 2 of clearance on each side, of about
		// 2 mm; smaller rugs are refused, which is tested with the border.
		if b := d.Bounds(); s.Border != "" && float64(s.Width)*b.Height()/b.Width() < 40 {
			return
		}
		in := jobtest.Inputs(t, d, s)
		j, err := Make(context.Background(), in, s, Options{})
		if err != nil {
			t.Fatalf("Make: %v", err)
		}
		checkPromises(t, j)
		again, err := Make(context.Background(), in, s, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range j.PenRuns {
			if !bytes.Equal(j.PenRuns[i].Text, again.PenRuns[i].Text) {
				t.Fatalf("run %d came out otherwise the second time", i+1)
			}
		}
	})
}

func checkPromises(t interface {
	Fatalf(string, ...any)
	Fatal(...any)
}, j Job) {
	reach := j.Inputs.Machine.Reach().Grow(j.Inputs.Machine.Step())
	var drawn []paths.Stroke
	var sum program.Totals
	for i, r := range j.PenRuns {
		p, err := language.ReadAny(context.Background(), r.File, r.Text, &j.Inputs.Machine)
		if err != nil {
			t.Fatal(err)
		}
		if judged := language.Judge(p, j.Inputs.Machine); len(judged.Doubts)+len(judged.Broken) > 0 {
			t.Fatalf("run %d is not wholly understood, or breaks limits: %+v", i+1, judged)
		}
		limit := min(float64(j.Inputs.Machine.Speed.Draw), float64(r.Pen.MaxSpeed))
		if err := Rules(p, reach, limit); err != nil {
			t.Fatalf("run %d: %v", i+1, err)
		}
		drawn = append(drawn, p.Strokes()...)
		tot := program.Total(p)
		sum.Strokes += tot.Strokes
		sum.TravelMM += tot.TravelMM
		sum.DrawMM += tot.DrawMM
	}
	var rep program.Totals // what the job says
	for _, r := range j.PenRuns {
		rep.Strokes += r.Totals.Strokes
		rep.TravelMM += r.Totals.TravelMM
		rep.DrawMM += r.Totals.DrawMM
	}
	if sum.Strokes != rep.Strokes || math.Abs(sum.TravelMM-rep.TravelMM) > 0.01 || math.Abs(sum.DrawMM-rep.DrawMM) > 0.01 {
		t.Fatalf("the job says %d strokes, %g and %g mm; the bytes say %d, %g and %g", rep.Strokes, rep.DrawMM, rep.TravelMM, sum.Strokes, sum.DrawMM, sum.TravelMM)
	}
	// What was asked, as it lies on the machine, and what is drawn cover each other.
	var want []paths.Stroke
	for _, s := range j.Drawn {
		want = append(want, j.OnMachine(s.Stroke))
	}
	allowed := float64(j.Settings.Tolerance) + j.Inputs.Machine.Step()
	covers(t, "what is drawn", drawn, want, allowed)
	covers(t, "what was asked", want, drawn, allowed)
	if !plainly(j) {
		return
	}
	// Without snapping the drawing is the design, scaled and mirrored, exactly.
	var plain []paths.Stroke
	for _, s := range j.Artwork {
		plain = append(plain, j.OnMachine(s.Stroke))
	}
	covers(t, "the program", drawn, plain, allowed)
}

// plainly reports whether nothing but scale and mirror changes the design.
func plainly(j Job) bool { return j.Settings.NoSnap && j.Settings.Border == "" }

// covers fails when a point of b is farther than tol from all of a.
func covers(t interface{ Fatalf(string, ...any) }, what string, a, b []paths.Stroke, tol float64) {
	type flat struct {
		pts []paths.Point
		box paths.Rect
	}
	var lines []flat
	for _, s := range a {
		pts := s.Flatten(tol / 20)
		lines = append(lines, flat{pts, paths.RectOf(pts...).Grow(1.1 * tol)})
	}
	reaches := func(p paths.Point) bool {
		for _, l := range lines {
			if l.box.Contains(p) && nearPolyline(p, l.pts, tol*1.1) {
				return true
			}
		}
		return false
	}
	for i, s := range b {
		for _, c := range s {
			for k := range 25 {
				if p := c.At(float64(k) / 24); !reaches(p) {
					far := math.Inf(1)
					for _, l := range lines {
						for q := 1; q < len(l.pts); q++ {
							far = min(far, (paths.Line{A: l.pts[q-1], B: l.pts[q]}).Dist(p))
						}
					}
					t.Fatalf("%s misses %v, a point of stroke %d, by %v mm where %v is allowed", what, p, i+1, far, tol)
				}
			}
		}
	}
}

func nearPolyline(p paths.Point, pts []paths.Point, tol float64) bool {
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		if p.X < min(a.X, b.X)-tol || p.X > max(a.X, b.X)+tol || p.Y < min(a.Y, b.Y)-tol || p.Y > max(a.Y, b.Y)+tol {
			continue
		}
		d := b.Sub(a)
		k := 0.0
		if l2 := d.Dot(d); l2 > 0 {
			k = min(1, max(0, p.Sub(a).Dot(d)/l2))
		}
		if p.Dist(a.Add(d.Mul(k))) <= tol {
			return true
		}
	}
	return false
}

func TestBorderMakesWholeChannels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := jobtest.DesignOf([]paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: rapid.Float64Range(50, 400).Draw(t, "w"), Y: rapid.Float64Range(50, 400).Draw(t, "h")})})
		s := job.Defaults()
		s.Width, s.Border, s.NoSnap, s.Effort = 400, "4,2", true, "quick"
		j, err := Make(context.Background(), jobtest.Inputs(t, d, s), s, Options{})
		var f *fault.Error
		if err != nil {
			if !asFault(err, &f) {
				t.Fatal(err)
			}
			return // too high for the machine: said so
		}
		l := j.Layout
		if l.NX != math.Round(l.NX) || l.NY != math.Round(l.NY) {
			t.Fatalf("%g by %g channels", l.NX, l.NY)
		}
		// 4 rows empty puts a line in channel 5, 2 more in channel 8, 2 rows
		// free start the artwork in channel 11.
		b := d.Bounds()
		for _, p := range []paths.Point{l.ToRug.Apply(b.Min), l.ToRug.Apply(b.Max)} {
			c := j.Grid.PlaceOf(p)
			if c.Across < 11-1e-6 || c.Across > l.NX-11+1e-6 || c.Along < 11-1e-6 || c.Along > l.NY-11+1e-6 {
				t.Fatalf("the artwork reaches channel %.3f, %.3f of a rug of %g by %g", c.Across, c.Along, l.NX, l.NY)
			}
		}
		if m := l.ToRug; m.A != m.D || m.B != 0 || m.C != 0 {
			t.Fatalf("the proportions are not kept: %+v", m)
		}
	})
}

// Every design in testdata on every machine and in every language; every other
// one on a plotter whose axes are exchanged and that has a force to set; and the
// time of each on two machines, one of which has slower axes.
// With -thorough every design is made for every machine, else each for a third of them in
// turn, so that each machine gets a third of the designs.
func TestEveryDesignOnEveryMachine(t *testing.T) {
	for i, file := range append(programtest.DesignFiles(t, ".."), demoFile) {
		d := programtest.ReadDesign(t, file)
		for k, machine := range profiles.Names(profiles.MachineKind) {
			if !*thorough && (i+k)%5 != 0 {
				continue
			}
			s := job.Defaults()
			s.Machine, s.Width, s.Effort = machine, 300, "quick"
			s.Really = true // two of the designs have words that are left out
			if b := d.Bounds(); b.Height() > 1.5*b.Width() {
				s.Width, s.Height = 0, 450
			}
			in := jobtest.Inputs(t, d, s)
			if in.Machine.Language != profiles.GCode && i%2 == 1 {
				in.Machine.HPGL.Swap, in.Machine.HPGL.Force, in.Machine.HPGL.Bits = true, 2, 7
			}
			if machine == "gantry-z" {
				in.Machine.Speed.Axes = []paths.Speed{80, 35}
			}
			j, err := Make(context.Background(), in, s, Options{})
			if err != nil {
				t.Errorf("%s on %s: %v", filepath.Base(file), machine, err)
				continue
			}
			checkPromises(t, j)
			if machine == "gantry-z" || machine == "flatbed-hpgl2" {
				checkTime(t, j)
			}
		}
	}
}

func TestDrawingOutsideTheAreaIsRefused(t *testing.T) {
	d := jobtest.DesignOf([]paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: 700}, paths.Point{X: 700, Y: 300})})
	s := job.Defaults()
	_, err := Make(context.Background(), jobtest.Inputs(t, d, s), s, Options{})
	var f *fault.Error
	if !asFault(err, &f) || f.Kind != fault.Fit {
		t.Fatalf("Make = %v", err)
	}
	for _, want := range []string{"27-1/2 x 11-3/4 in (70.0 x 30.0 cm)", "23-5/8 x 35-3/8 in (60.0 x 90.0 cm)", "3-7/8 in (10.0 cm) too wide"} {
		if !strings.Contains(f.What, want) {
			t.Errorf("%q does not say %q", f.What, want)
		}
	}
	// 600 mm less a channel are 23.54 in, down to an eighth 23-1/2 in; the
	// other side follows as 3 to 7. Turned, 700 x 300 fits, and at most 900 mm less a channel do, 35.35 in.
	for _, want := range []string{"with [lay] turned", "23-1/2 x 10 in (59.7 x 25.4 cm) with [lay] upright", "35-1/4 x 15-1/8 in (89.5 x 38.4 cm) with [lay] turned"} {
		if !strings.Contains(f.Do, want) {
			t.Errorf("the advice %q does not say %q", f.Do, want)
		}
	}
	s.Lay = job.LaidTurned
	j, err := Make(context.Background(), jobtest.Inputs(t, d, s), s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	checkTurned(t, j)
}

// checkTurned holds a turned job to what a quarter turn is: each stroke lies on the
// machine where its points, turned by hand about the corner of the rug, lie.
func checkTurned(t *testing.T, j Job) {
	t.Helper()
	at := j.Settings.At
	for i, s := range j.Drawn {
		for k, p := range s.Stroke.Flatten(0.1) {
			want := paths.Point{X: float64(at[0]) - (p.Y - j.Rug.Min.Y), Y: float64(at[1]) + (p.X - j.Rug.Min.X)}
			if got := j.OnMachine(s.Stroke).Flatten(0.1); k < len(got) && got[k].Dist(want) > 1e-6 {
				t.Errorf("stroke %d: %v is drawn at %v, want %v", i, p, got[k], want)
			}
		}
	}
	if c := boundsOf(j.Placed).Centre().Sub(j.Inputs.Machine.Reach().Centre()).Len(); c > 2 {
		t.Errorf("the turned rug lies %.1f mm off the middle of the machine", c)
	}
}

func TestBadSettings(t *testing.T) {
	square := jobtest.DesignOf([]paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: 100}, paths.Point{X: 100, Y: 100}, paths.Point{Y: 100}, paths.Point{})})
	for _, c := range []struct {
		name string
		set  func(*job.Settings, *paths.Design)
		want string
		kind fault.Kind
	}{
		{"contradiction", func(s *job.Settings, _ *paths.Design) { s.Width, s.Height = 100, 300 }, "contradict", fault.Input},
		{"negative", func(s *job.Settings, _ *paths.Design) { s.Width = -3 }, "wide", fault.Input},
		{"no size", func(s *job.Settings, d *paths.Design) { d.HasSize = false }, "no size", fault.Input},
		{"nothing", func(s *job.Settings, d *paths.Design) { d.Layers = nil }, "no line work", fault.Input},
		{"point", func(s *job.Settings, d *paths.Design) {
			*d = jobtest.DesignOf([]paths.Stroke{paths.Polyline(paths.Point{X: 3})})
		}, "single point", fault.Input},
		{"craft", func(s *job.Settings, _ *paths.Design) { s.Craft = "weaving" }, "craft", fault.Input},
		{"transfer", func(s *job.Settings, _ *paths.Design) { s.Transfer = "stamp" }, "transfer", fault.Input},
		{"count", func(s *job.Settings, _ *paths.Design) { s.Count = "0x3/in" }, "count", fault.Input},
		{"margin", func(s *job.Settings, _ *paths.Design) { s.Margin = "4" }, "no unit", fault.Input},
		{"border", func(s *job.Settings, _ *paths.Design) { s.Border = "4,x" }, "not a border", fault.Input},
		{"wide border", func(s *job.Settings, _ *paths.Design) { s.Border = "300" }, "", fault.Fit},
		{"tiny rug", func(s *job.Settings, _ *paths.Design) { s.Width, s.Border = 15, "edge" }, "channels", fault.Fit},
		{"speck", func(s *job.Settings, _ *paths.Design) { s.Width = 15 }, "channels", fault.Fit},
		{"snap", func(s *job.Settings, _ *paths.Design) { s.Snap = 30 }, "snapping", fault.Input},
		{"NaN snap", func(s *job.Settings, _ *paths.Design) { s.Snap = math.NaN() }, "snapping", fault.Input},
		{"tolerance", func(s *job.Settings, _ *paths.Design) { s.Tolerance = 0.001 }, "tolerance", fault.Input},
		{"effort", func(s *job.Settings, _ *paths.Design) { s.Effort = "heroic" }, "", fault.Input},
		{"layer", func(s *job.Settings, _ *paths.Design) { s.PenFor = map[string]string{"sky": "soft-pencil"} }, "no layer", fault.Input},
		{"at", func(s *job.Settings, _ *paths.Design) { s.At = []paths.Length{3} }, "two lengths", fault.Input},
		{"at outside", func(s *job.Settings, _ *paths.Design) { s.At = []paths.Length{-10, 0} }, "0.39 in (10.0 mm) at the left", fault.Fit},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, d := job.Defaults(), square
			c.set(&s, &d)
			_, err := Make(context.Background(), jobtest.Inputs(t, d, s), s, Options{})
			var f *fault.Error
			if !asFault(err, &f) || f.Kind != c.kind || !strings.Contains(err.Error(), c.want) {
				t.Errorf("Make = %v, want a fault of kind %q that says %q", err, c.kind, c.want)
			}
		})
	}
}

func TestRulesCatchBrokenPrograms(t *testing.T) {
	area := paths.Rect{Max: paths.Point{X: 100, Y: 100}}
	line := func(x float64) paths.Curve { return paths.Line{B: paths.Point{X: x}} }
	down, up := program.Block{Kind: program.PenDown}, program.Block{Kind: program.PenUp}
	draw := func(x, feed float64) program.Block {
		return program.Block{Kind: program.Draw, Curve: line(x), Feed: feed}
	}
	for name, c := range map[string]struct {
		blocks []program.Block
		want   string
	}{
		"good":        {[]program.Block{down, draw(50, 40), up}, ""},
		"outside":     {[]program.Block{down, draw(101, 40), up}, "leaves the machine's area by 1.000 mm at the right"},
		"fast":        {[]program.Block{down, draw(50, 41), up}, "the feed is 41"},
		"pen up":      {[]program.Block{draw(50, 40)}, "pen is up"},
		"dragging":    {[]program.Block{down, {Kind: program.Travel, Curve: line(5)}, up}, "pen is down"},
		"rest":        {[]program.Block{down, {Kind: program.Pause}, up}, "pen is down"},
		"left down":   {[]program.Block{down, draw(50, 40)}, "ends with the pen down"},
		"pen changed": {[]program.Block{down, {Kind: program.Pen, Number: 2}, up}, "pen is down"},
	} {
		err := Rules(program.Program{Blocks: c.blocks}, area, 40)
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

func TestPensGetRunsOfTheirOwn(t *testing.T) {
	line := func(y float64) []paths.Stroke {
		return []paths.Stroke{paths.Polyline(paths.Point{Y: y}, paths.Point{X: 100, Y: y + 30})}
	}
	s := job.Defaults()
	s.Border, s.Width = "edge", 200
	s.PenFor = map[string]string{BorderLayer: "soft-pencil", "b": "extra-fine-marker"}
	j, err := Make(context.Background(), jobtest.Inputs(t, jobtest.DesignOf(line(0), line(40), line(80)), s), s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	var pens, files []string
	for i, r := range j.PenRuns {
		pens, files = append(pens, r.Pen.Name), append(files, j.FileName(i))
		if r.Feed > float64(r.Pen.MaxSpeed) || r.Totals.MaxFeed > r.Feed {
			t.Errorf("%s draws at %g mm/s, asked %g", r.Pen.Name, r.Totals.MaxFeed, r.Feed)
		}
	}
	if want := []string{"soft-pencil", "fine-marker", "extra-fine-marker"}; !slices.Equal(pens, want) {
		t.Errorf("the pens come in the order %v, want %v", pens, want)
	}
	if want := []string{"plot.gcode", "plot-2.gcode", "plot-3.gcode"}; !slices.Equal(files, want) {
		t.Errorf("the programs are %v", files)
	}
}

// A blade cuts inner shapes before the ones round them, its holder leads every
// cut by the offset, and dots are said to be left out.
func TestBladeIsTowed(t *testing.T) {
	square := func(a, b float64) paths.Stroke {
		return paths.Polyline(paths.Point{X: a, Y: a}, paths.Point{X: b, Y: a}, paths.Point{X: b, Y: b}, paths.Point{X: a, Y: b}, paths.Point{X: a, Y: a})
	}
	s := job.Defaults()
	s.Machine, s.Pen, s.Transfer, s.NoSnap = "knife-cutter", "drag-knife", job.Tracing, true
	j, err := Make(context.Background(), jobtest.Inputs(t, jobtest.DesignOf([]paths.Stroke{square(0, 200), square(50, 150), paths.Polyline(paths.Point{X: 100, Y: 100})}), s), s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	got := j.PenRuns[0].Program.Strokes()
	if len(got) != 2 {
		t.Fatalf("%d cuts", len(got))
	}
	if w := got[0].Bounds().Width(); math.Abs(w-100.5) > 0.1 {
		t.Errorf("the first cut is %g mm wide, want the inner square and the blade's offset on both sides", w)
	}
	if w := got[1].Bounds().Width(); math.Abs(w-200.5) > 0.1 {
		t.Errorf("the second cut is %g mm wide", w)
	}
	if n := j.PenRuns[0].DotsLeftOut; n != 1 {
		t.Errorf("%d dots are said to be left out", n)
	}
}

func asFault(err error, f **fault.Error) bool {
	g, ok := err.(*fault.Error)
	*f = g
	return ok
}

// A design that would take for ever is refused at once.
func TestTooMuch(t *testing.T) {
	for name, s := range map[string][]paths.Stroke{
		"strokes": slices.Repeat([]paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: 9, Y: 5})}, maxStrokes+1),
		"pieces":  {slices.Repeat(paths.Polyline(paths.Point{}, paths.Point{X: 9, Y: 5}, paths.Point{}), maxCurves/2+1)},
	} {
		d := jobtest.DesignOf(s)
		if _, err := Make(context.Background(), jobtest.Inputs(t, d, job.Defaults()), job.Defaults(), Options{}); err == nil || !strings.Contains(err.Error(), "the most that is prepared") {
			t.Errorf("too many %s: %v", name, err)
		}
	}
}
