package check

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/report"
)

// faulty is a design with one of each kind of finding, at its own size, on
// layers that are named for it.
func faulty() paths.Design {
	pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	d := paths.Design{Name: "faulty.svg", HasSize: true}
	for _, l := range []struct {
		name    string
		strokes []paths.Stroke
	}{
		{"frame", []paths.Stroke{paths.Polyline(pt(0, 0), pt(300, 0), pt(300, 200), pt(0, 200), pt(0, 0))}},
		{"twice", []paths.Stroke{paths.Polyline(pt(100, 200), pt(150, 200))}},
		{"gap", []paths.Stroke{paths.Polyline(pt(50, 0.3), pt(50, 60))}},
		{"close", []paths.Stroke{paths.Polyline(pt(100, 50), pt(100, 100)), paths.Polyline(pt(103, 50), pt(103, 100))}},
		{"speck", []paths.Stroke{paths.Polyline(pt(200, 100), pt(201, 101))}},
		{"MottoLettering", []paths.Stroke{paths.Polyline(pt(200, 20), pt(200, 40), pt(220, 40))}},
	} {
		layer := paths.Layer{Name: l.name}
		for _, s := range l.strokes {
			layer.Strokes = append(layer.Strokes, paths.DesignStroke{Stroke: s})
		}
		d.Layers = append(d.Layers, layer)
	}
	d.Notes = []paths.Note{{Code: "text-not-drawn", Element: "text", Line: 9, Message: "Text is not drawn."}}
	return d
}

func TestCheckFindsEachKind(t *testing.T) {
	for _, width := range []paths.Length{0, 150} {
		s := job.Defaults()
		s.Name, s.Width = "faulty", width
		if width > 0 { // at half the size all is half as far apart
			s.Count = "24x26/in"
		}
		k := 1.0
		if width > 0 {
			k = 0.5
		}
		r, err := Design(context.Background(), jobtest.Inputs(t, faulty(), s), s, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for i, f := range r.Findings {
			at := "nowhere"
			if f.At != nil {
				at = fmt.Sprintf("%.4g,%.4g", f.At[0]/k, f.At[1]/k)
			}
			got = append(got, fmt.Sprintf("%s %.4g %s %s", f.Code, f.LengthMM/k, f.Layer, at))
			if f.Number != i+1 || !f.Listed || f.Message == "" {
				t.Errorf("finding %+v is not number %d or not listed", f, i+1)
			}
		}
		want := []string{
			"double 50 twice 125,200", "gap 0.3 gap 50,0.15", "close-lines 50 close 103,75",
			"speck 1 speck 200.5,100.5", "narrow 47.38  101.3,74.98", "lettering 0 MottoLettering 210,30", "lettering 0  nowhere",
		}
		if !slices.Equal(got, want) {
			t.Errorf("at width %v found\n%s\nwant\n%s", width, strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
		scene, err := r.Scene()
		if err != nil || len(scene.Notes) != len(want) || !scene.EveryNote {
			t.Errorf("the picture has %d notes, %v", len(scene.Notes), err)
		}
	}
}

// Common practice: what is punched from the back is drawn mirrored on the
// backing, and an iron turns the paper over; on the rug words always read right.
func TestWhichWayLetteringReads(t *testing.T) {
	for _, c := range []struct {
		craft job.Craft
		tr    job.Transfer
		want  string
	}{
		{job.PunchNeedle, job.Direct, "it will read backwards on the backing and right on the finished rug"},
		{job.Hooking, job.Direct, "it will read right on the backing and right on the finished rug"},
		{job.PunchNeedle, job.Tracing, "it will read backwards on the paper to trace, backwards on the backing and"},
		{job.Hooking, job.Tracing, "it will read right on the paper to trace, right on the backing and"},
		{job.PunchNeedle, job.IronOn, "it will read right on the paper to iron on, backwards on the backing and"},
		{job.Hooking, job.IronOn, "it will read backwards on the paper to iron on, right on the backing and"},
	} {
		if got := readsHow(c.craft, c.tr); !strings.HasPrefix(got, c.want) {
			t.Errorf("%s, %s: %q, want %q", c.craft, c.tr, got, c.want)
		}
	}
	for name, want := range map[string]bool{
		"text": true, "Lettering": true, "the words": true, "layer_TITLE-2": true, "skerryMotto": true, "Initials 1926": true,
		"context": false, "sword": false, "tower": false, "": false, "2": false, "subtitle": false, "border": false,
	} {
		if got := looksLikeLettering(name); got != want {
			t.Errorf("looksLikeLettering(%q) = %v", name, got)
		}
	}
}

// Whatever the design, findings are numbered from 1, those listed first, at most
// so many of a kind, each on the rug; and all of it is the same each time.
func TestFindingsOfAnyDesign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		strokes := jobtest.Strokes(t)
		for range rapid.IntRange(0, 20).Draw(t, "specks") {
			p := jobtest.Point(t)
			strokes = append(strokes, paths.Polyline(p, paths.Point{X: p.X + 0.5, Y: p.Y}))
		}
		d := jobtest.DesignOf(strokes, strokes[:1])
		if b := d.Bounds(); b.Width() < 24 || b.Height() < 24 {
			return
		}
		s := job.Defaults()
		s.NoSnap = true
		s.Border = rapid.SampledFrom([]string{"", "edge"}).Draw(t, "border")
		in := jobtest.Inputs(t, d, s)
		found := func() (r Report) {
			laid, err := plot.Lay(in, s)
			if err != nil {
				t.Fatal(err)
			}
			if err := r.find(context.Background(), laid); err != nil {
				t.Fatal(err)
			}
			return r
		}
		r := found()
		a, _ := report.Encode(r)
		if rapid.IntRange(0, 3).Draw(t, "again") == 0 {
			if b, _ := report.Encode(found()); string(a) != string(b) {
				t.Fatal("the second time something else was found")
			}
		}
		of := map[string]int{}
		for i, f := range r.Findings {
			if f.Number != i+1 || i > 0 && f.Listed && !r.Findings[i-1].Listed {
				t.Fatalf("finding %d: %+v", i+1, f)
			}
			if of[f.Code]++; f.Listed != (of[f.Code] <= listed) {
				t.Fatalf("finding %d of its kind: %+v", of[f.Code], f)
			}
			// Ends are joined and curves looked at as chords, each within a hundredth of a mm.
			const slack = 0.02
			if l := r.laid.Layout; f.At[0] < -slack || f.At[1] < -slack || f.At[0] > l.Width+slack || f.At[1] > l.Height+slack {
				t.Fatalf("finding %+v at %v lies off the rug of %g x %g", f, *f.At, l.Width, l.Height)
			}
		}
		// The second layer is the first stroke once more.
		if l := strokes[0].Length() * r.laid.Layout.Scale; !strokes[0].IsDot() && l > 3 && of[FoundDouble] == 0 {
			t.Fatalf("a stroke of %g mm is there twice, and nothing is drawn twice", l)
		}
		if _, err := r.Scene(); err != nil {
			t.Fatal(err)
		}
	})
}

func TestCheckWithoutASize(t *testing.T) {
	d := faulty()
	d.HasSize = false
	s := job.Defaults()
	r, err := Design(context.Background(), jobtest.Inputs(t, d, s), s, report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Findings) != 2 || r.Findings[0].Code != FoundLettering || r.Findings[0].At != nil {
		t.Errorf("findings %+v, want the lettering without a place", r.Findings)
	}
	if _, err := r.Scene(); err == nil || !strings.Contains(err.Error(), "size is not known") {
		t.Errorf("Scene: %v", err)
	}
	// With one, a design too large for the machine is looked at all the same.
	s.Width = 2000
	if r, err = Design(context.Background(), jobtest.Inputs(t, d, s), s, report.Options{}); err != nil || !slices.ContainsFunc(r.Warnings, func(w report.Warning) bool { return w.Code == "does-not-fit" }) {
		t.Errorf("%v, %v", r.Warnings, err)
	}
	if len(r.Findings) == 0 || math.Abs(r.Findings[0].LengthMM-50*2000/300.) > 0.01 {
		t.Errorf("findings %+v", r.Findings)
	}
	if r.FinishedChannels == nil {
		t.Error("its size in channels is not told")
	}
}

// Sizes at which stripes are whole are proposed whether the machine is large enough for
// the one asked or not, and whatever is said of the machine.
func TestSizesBeyondTheMachine(t *testing.T) {
	var strokes []paths.Stroke
	for i := range 25 {
		x := 22 * float64(i)
		strokes = append(strokes, paths.Polyline(paths.Point{X: x}, paths.Point{X: x, Y: 380}))
	}
	d := jobtest.DesignOf(strokes)
	sizes := func(s job.Settings) []SizeProposal {
		s.Width, s.Border = 24*paths.MMPerInch, "4,2"
		r, err := Design(context.Background(), jobtest.Inputs(t, d, s), s, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if large := slices.ContainsFunc(r.Warnings, func(w report.Warning) bool { return w.Code == "does-not-fit" }); large != s.HasMachine() {
			t.Errorf("machine %q: warnings %v", s.Machine, r.Warnings)
		}
		return r.Sizes
	}
	none, small, said := job.Defaults(), job.Defaults(), job.Defaults()
	none.Machine = job.NoMachine
	said.Machine, said.Lay, said.Language = "gantry-servo", job.LaidTurned, "gcode"
	said.At = []paths.Length{10, 10}
	want := sizes(none)
	if len(want) == 0 {
		t.Fatal("no size is proposed")
	}
	for _, s := range []job.Settings{small, said} {
		if got := sizes(s); !reflect.DeepEqual(got, want) {
			t.Errorf("machine %q: sizes %+v, want %+v", s.Machine, got, want)
		}
	}
}

// A design that is more than can be looked at is refused before that is begun.
func TestCheckRefusesTooMuch(t *testing.T) {
	strokes := func(n int, length float64) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i := range out {
			y := 200 * float64(i) / float64(n)
			out[i] = paths.Polyline(paths.Point{Y: y}, paths.Point{X: length, Y: y})
		}
		return out
	}
	zigzag := func(n int) []paths.Stroke {
		at := make([]paths.Point, n+1)
		for i := range at {
			at[i] = paths.Point{X: float64(i%1000) / 10, Y: float64(i%2) + float64(i/1000)}
		}
		return []paths.Stroke{paths.Polyline(at...)}
	}
	s := job.Defaults()
	for _, tt := range []struct {
		list []paths.Stroke
		says string
	}{
		{zigzag(mostCurves + 1), "it has 80001 lines and curves: no more than 80000 are checked"},
		{strokes(mostStrokes+1, 1), "it has 50001 strokes: no more than 50000 are checked"},
		{strokes(20_000, 300), "it has 6.0 km of line: no more than 5 km are checked"},
	} {
		_, err := Design(context.Background(), jobtest.Inputs(t, jobtest.DesignOf(tt.list), s), s, report.Options{})
		if err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%v, want %q", err, tt.says)
		}
	}
}
