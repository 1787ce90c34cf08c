package plot

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/program"
)

// A small design with straights off the weave, a curve and a short line.
func kitDesign() paths.Design {
	return jobtest.DesignOf([]paths.Stroke{
		paths.Polyline(paths.Point{}, paths.Point{X: 100, Y: 1}, paths.Point{X: 101, Y: 60}, paths.Point{X: 1, Y: 61}, paths.Point{}),
		{paths.Cubic{A: paths.Point{X: 20, Y: 20}, B: paths.Point{X: 40, Y: 50}, C: paths.Point{X: 60, Y: 0}, D: paths.Point{X: 80, Y: 40}}},
		paths.Polyline(paths.Point{X: 30, Y: 45.3}, paths.Point{X: 70, Y: 45}),
	})
}

func makeKitOf(t *testing.T, s job.Settings, names ...job.Named) (Job, error) {
	t.Helper()
	d := kitDesign()
	s.Effort = "quick"
	for i := range names {
		names[i].Line = i + 1
		s.Names = "class.txt"
	}
	in := jobtest.Inputs(t, d, s.Complete())
	in.Names = names
	return Make(context.Background(), in, s, Options{})
}

func mustKit(t *testing.T, s job.Settings, names ...job.Named) Job {
	t.Helper()
	j, err := makeKitOf(t, s, names...)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// onCloth returns what the programs of a load draw, with the number of the copy of each
// stroke, in mm of the whole cloth: read back from their texts.
func onCloth(j Job, l Load) (strokes []paths.Stroke, copies []int) {
	home := paths.Translate(l.PlaceOf(weave.Place{}).Mul(-1))
	for _, run := range l.PenRuns {
		for i, s := range run.Program.Strokes() {
			strokes, copies = append(strokes, s.Transform(home)), append(copies, run.Copies[i])
		}
	}
	return strokes, copies
}

// In every copy of a stand the same strokes lie on the cloth, moved by whole channels;
// each is drawn once; one copy is finished before the next; and what lies in a channel of
// one lies in a channel of all.
func TestCopiesAreTheSameOnTheWeave(t *testing.T) {
	j := mustKit(t, job.Settings{Width: 120, Border: "edge", Margin: "30mm", Copies: 14, Cloth: "1500mm", Turn: true})
	for _, l := range j.Loads {
		checkPromises(t, l.Job)
	}
	g := j.Grid
	of := map[int][]paths.Stroke{}
	for _, l := range j.Loads {
		strokes, copies := onCloth(j, l)
		for i, s := range strokes {
			of[copies[i]] = append(of[copies[i]], s)
		}
		for _, run := range l.PenRuns {
			if seen := slices.Compact(slices.Clone(run.Copies)); len(seen) != len(l.Copies)+1 && len(seen) != len(l.Copies) {
				t.Errorf("load %d goes to and fro between copies: %v", l.N, seen)
			}
		}
	}
	rugOnly := func(c Copy) (out []paths.Stroke) {
		m := paths.Translate(g.At(c.At).Mul(-1))
		for _, s := range of[c.N] {
			if within(c.Rug.Grow(0.1), s.Bounds()) {
				out = append(out, s.Transform(m))
			}
		}
		return out
	}
	first := map[bool][]paths.Stroke{}
	for _, c := range j.Kit.Copies {
		if c.At.Across != math.Round(c.At.Across) || c.At.Along != math.Round(c.At.Along) {
			t.Errorf("copy %d lies at %v, on no crossing", c.N, c.At)
		}
		got := rugOnly(c)
		if first[c.Turned] == nil {
			first[c.Turned] = got
		}
		same(t, fmt.Sprintf("copy %d", c.N), first[c.Turned], got)
		for _, s := range got {
			for _, k := range s {
				if l, ok := k.(paths.Line); ok && l.Length() > 20 {
					a, b := g.PlaceOf(l.A), g.PlaceOf(l.B)
					if max(math.Abs(a.Across-math.Round(a.Across)), math.Abs(b.Across-a.Across)) > 0.05 && max(math.Abs(a.Along-math.Round(a.Along)), math.Abs(b.Along-a.Along)) > 0.05 {
						t.Errorf("a straight of copy %d lies from %v to %v, in no channel", c.N, a, b)
					}
				}
			}
		}
	}
}

// same reports strokes of one copy that are not in another.
func same(t *testing.T, what string, want, got []paths.Stroke) {
	t.Helper()
	if len(want) != len(got) {
		t.Errorf("%s has %d strokes, not %d", what, len(got), len(want))
	}
	for _, a := range want {
		if !slices.ContainsFunc(got, func(b paths.Stroke) bool {
			return deviation.Apart(a, b, 0.01) < 0.11 // two tolerances
		}) {
			t.Errorf("%s lacks a stroke in %v", what, a.Bounds())
		}
	}
}

// A kit with turned copies takes the cloth that the worked case of one turned row and two
// upright ones says: pieces of 25 by 17 on cloth 60 wide, seven of them, 59 long (by hand).
func TestTurnedRowsSaveCloth(t *testing.T) {
	s := job.Settings{Count: "5x5/cm", Width: 110, Border: "edge", Margin: "20mm", Copies: 7, Cloth: "360mm"}
	// 150 wide with its margins, and as high as the artwork asks: pieces of 75 channels.
	upright := mustKit(t, s)
	s.Turn = true
	turned := mustKit(t, s)
	if a, b := upright.Kit.Cloth.Height(), turned.Kit.Cloth.Height(); b > a {
		t.Errorf("with turning the cloth is %.1f long, without %.1f", b, a)
	}
	least := math.Inf(1)
	p := upright.Kit.Copies[0].Piece
	for x := range 8 { // rows upright, the rest turned
		n := 7 - x*int((360+1e-9)/p.Width())
		rows := 0
		if per := int((360 + 1e-9) / p.Height()); n > 0 {
			rows = (n + per - 1) / per
		}
		least = min(least, float64(x)*p.Height()+float64(rows)*p.Width())
	}
	if got := turned.Kit.Cloth.Height(); math.Abs(got-least) > 1e-6 {
		t.Errorf("the cloth taken is %.2f mm long, and the least by hand %.2f", got, least)
	}
}

// Names stand in the margin of their own copy, clear of the rug and inside the piece; two
// equal ones are told apart; sizes of their own are whole channels.
func TestNamesOfCopies(t *testing.T) {
	j := mustKit(t, job.Settings{Width: 120, Border: "edge", Margin: "40mm"},
		job.Named{Name: "Ada"}, job.Named{Name: "Žofie", Channels: 70}, job.Named{Name: "ada"}, job.Named{Name: "Ada 2"})
	var names []string
	for _, c := range j.Kit.Copies {
		names = append(names, c.Name)
		box := paths.EmptyRect()
		for _, s := range c.drawn {
			if s.Layer == NamesLayer {
				box = box.Union(s.Bounds())
			}
		}
		if box.IsEmpty() || !within(c.Piece, box) || box.Max.Y > c.Rug.Min.Y {
			t.Errorf("the name of copy %d lies in %v, its rug in %v", c.N, box, c.Rug)
		}
	}
	if want := []string{"Ada", "Žofie", "ada 3", "Ada 2"}; !slices.Equal(names, want) {
		t.Errorf("names %q, want %q", names, want)
	}
	if !slices.ContainsFunc(j.Kit.Notes, func(d Doubt) bool { return d.Code == "names-numbered" }) {
		t.Error("nothing is said of equal names")
	}
	if nx := j.Kit.Copies[1].NX; math.Abs(nx-70) > 1e-6 {
		t.Errorf("copy 2 is %.3f channels wide, not 70", nx)
	}
	for i, a := range j.Kit.Copies {
		for _, b := range j.Kit.Copies[:i] {
			if in := common(a.Piece, b.Piece); in.Width() > 1e-6 && in.Height() > 1e-6 {
				t.Errorf("copies %d and %d are cut from one place", b.N, a.N)
			}
		}
	}
}

// Pens are changed once a load: there is one program for each pen, and in each the copies
// come one after the other.
func TestOneProgramAPen(t *testing.T) {
	s := job.Settings{Width: 120, Border: "edge", Margin: "30mm", Copies: 8, PenFor: map[string]string{BorderLayer: "soft-pencil", NamesLayer: "soft-pencil"}}
	j := mustKit(t, s)
	for _, l := range j.Loads {
		if len(l.PenRuns) != 2 {
			t.Errorf("load %d has %d programs for two pens", l.N, len(l.PenRuns))
		}
	}
	if len(j.Loads) < 2 || !strings.HasPrefix(j.PenRuns[0].File, "load-1/plot.") {
		t.Errorf("%d loads, the first program is %s", len(j.Loads), j.PenRuns[0].File)
	}
}

// Marks of a later load move that load only, and are counted from the corner of the whole
// cloth's drawing.
func TestMarksForALaterLoad(t *testing.T) {
	s := job.Settings{Width: 120, Border: "edge", Margin: "30mm", Copies: 8}
	plain := mustKit(t, s)
	l := plain.Loads[1]
	var text strings.Builder
	turn := paths.Rotate(0.02)
	for _, n := range l.Copies {
		c := plain.Kit.Copies[n-1]
		for _, p := range []weave.Place{c.At, {Across: c.At.Across + math.Round(c.NX), Along: c.At.Along + math.Round(c.NY)}, {Across: c.At.Across, Along: c.At.Along + math.Round(c.NY)}} {
			at := turn.Apply(l.PlaceOf(p)).Add(paths.Point{X: 7, Y: 3})
			fmt.Fprintf(&text, "[[mark]]\nacross = %g\nalong = %g\nx = \"%.6fmm\"\ny = \"%.6fmm\"\n", p.Across, p.Along, at.X, at.Y)
		}
	}
	s.MarksFor = map[string]string{"2": "marks.toml"}
	in := jobtest.Inputs(t, kitDesign(), s.Complete())
	in.MarksFor = marksOf(t, 2, text.String())
	s.Effort = "quick"
	j, err := Make(context.Background(), in, s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if string(j.Loads[0].PenRuns[0].Text) != string(plain.Loads[0].PenRuns[0].Text) {
		t.Error("load 1 is another one")
	}
	p := j.Kit.Copies[l.Copies[0]-1].At
	want := turn.Apply(l.PlaceOf(p)).Add(paths.Point{X: 7, Y: 3})
	if d := j.Loads[1].PlaceOf(p).Dist(want); d > 0.01 {
		t.Errorf("load 2 is %.3f mm off its marks", d)
	}
}

func TestKitsThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		name  string
		s     job.Settings
		names []job.Named
		kind  fault.Kind
		say   []string
	}{
		{"too long", job.Settings{Width: 200, Margin: "4in", Copies: 12, Cloth: "60inx1yd"}, nil, fault.Fit, []string{"12 copies take", "6 fit", "yd will do", "or draw 6 of them"}},
		{"too wide", job.Settings{Width: 300, Margin: "4in", Copies: 2, Cloth: "30cm"}, nil, fault.Fit, []string{"no copy fits the cloth", "between the selvedges"}},
		{"larger than the machine", job.Settings{Width: 700, Margin: "4in", Copies: 2}, nil, fault.Fit, []string{"copy 1 with its name is", "the pen reaches"}},
		{"no letters", job.Settings{Width: 200, Names: "class.txt"}, []job.Named{{Name: "Ada"}, {Name: "مريم"}}, fault.Input, []string{"class.txt, line 2"}},
		{"loads and a place", job.Settings{Width: 200, Margin: "4in", Copies: 12, At: []paths.Length{0, 0}}, nil, fault.Input, []string{"at: ", "loads"}},
		{"cloth for one", job.Settings{Width: 200, Cloth: "60in"}, nil, fault.Input, []string{"single rug", "[copies]"}},
		{"a load too many", job.Settings{Width: 200, Copies: 1, MarksFor: map[string]string{"0": "m"}}, nil, fault.Input, []string{"numbered from 1"}},
	} {
		_, err := makeKitOf(t, c.s, c.names...)
		if err == nil || !errors.Is(err, c.kind) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for _, say := range c.say {
			if text := err.Error() + fault.Request(err).Do; !strings.Contains(text, say) {
				t.Errorf("%s: %q does not say %q", c.name, text, say)
			}
		}
	}
}

// Ticks lie in channels, between the rugs, and each is drawn once.
func TestTicks(t *testing.T) {
	j := mustKit(t, job.Settings{Width: 120, Border: "edge", Margin: "30mm", Copies: 6, Cloth: "560mm"})
	seen := map[string]bool{}
	n := 0
	for _, l := range j.Loads {
		for _, s := range l.Ticks {
			n++
			key := fmt.Sprint(s.Bounds())
			a, b := j.Grid.PlaceOf(s.Start()), j.Grid.PlaceOf(s.End())
			if seen[key] || math.Abs(a.Across-math.Round(a.Across))+math.Abs(b.Along-math.Round(b.Along)) > 1e-6 || a.Across != b.Across && a.Along != b.Along {
				t.Errorf("a tick from %v to %v", a, b)
			}
			seen[key] = true
			for _, c := range j.Kit.Copies {
				if in := common(c.Rug, s.Bounds()); !in.IsEmpty() {
					t.Errorf("a tick at %v lies on the rug of copy %d", a, c.N)
				}
			}
		}
	}
	strokes := 0
	for _, r := range j.PenRuns {
		strokes += program.Total(r.Program).Strokes
	}
	drawn := 0
	for _, c := range j.Kit.Copies {
		drawn += len(c.drawn)
	}
	if n == 0 || strokes != drawn+n {
		t.Errorf("%d strokes are drawn, of %d and %d ticks", strokes, drawn, n)
	}
}

func marksOf(t *testing.T, load int, text string) map[int][]cloth.Mark {
	t.Helper()
	marks, err := cloth.ParseMarks("marks.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return map[int][]cloth.Mark{load: marks}
}

func within(outer, inner paths.Rect) bool {
	return outer.Contains(inner.Min) && outer.Contains(inner.Max)
}

func common(a, b paths.Rect) paths.Rect {
	return paths.Rect{
		Min: paths.Point{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: paths.Point{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)},
	}
}

// Cloth that is laid turned has the loads that the machine's reach turned round allows, and
// every copy lies where the report says.
func TestKitOnTurnedCloth(t *testing.T) {
	j := mustKit(t, job.Settings{Width: 120, Border: "edge", Margin: "30mm", Copies: 9, Cloth: "1500mm", Lay: job.LaidTurned})
	upright := mustKit(t, job.Settings{Width: 120, Border: "edge", Margin: "30mm", Copies: 9, Cloth: "1500mm"})
	if len(j.Loads) >= len(upright.Loads) {
		t.Errorf("two rows of copies across 1.5 m take %d loads turned and %d upright on a machine of 600 x 900 mm", len(j.Loads), len(upright.Loads))
	}
	for _, l := range j.Loads {
		checkPromises(t, l.Job)
		up := weave.Place{Along: 10}
		if d := l.PlaceOf(up).Sub(l.PlaceOf(weave.Place{})); d.X > -10*j.Grid.Along+1e-6 || math.Abs(d.Y) > 1e-6 {
			t.Errorf("load %d: ten channels along the cloth go by %v on the machine", l.N, d)
		}
		for _, n := range l.Copies {
			c := j.Kit.Copies[n-1]
			if box := paths.RectOf(l.PlaceOf(j.Grid.PlaceOf(c.Rug.Min)), l.PlaceOf(j.Grid.PlaceOf(c.Rug.Max))); !within(l.Inputs.Machine.Reach().Grow(1e-3), box) {
				t.Errorf("copy %d lies at %v", n, box)
			}
		}
	}
}
