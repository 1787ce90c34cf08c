package snap

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

var monks = weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13} // rug monk's cloth, as sellers state it (common practice)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

func mustSnap(t interface {
	Helper()
	Fatal(...any)
}, strokes []paths.Stroke, g weave.Grid, opt Options) Result {
	t.Helper()
	out, err := Strokes(strokes, g, opt)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// onChannel reports whether v is a whole number of pitches, to 1e-9 mm.
func onChannel(v, pitch float64) bool {
	return math.Abs(v-math.Round(v/pitch)*pitch) <= 1e-9
}

func TestSnapRectangle(t *testing.T) {
	box := paths.Polyline(pt(10.1, 20.3), pt(60.7, 20.3), pt(60.7, 90.2), pt(10.1, 90.2), pt(10.1, 20.3))
	out := mustSnap(t, []paths.Stroke{box}, monks, Options{})
	if len(out.Lines) != 4 {
		t.Fatalf("%d lines, want the four sides: %+v", len(out.Lines), out.Lines)
	}
	s := out.Strokes[0]
	if !s.IsClosed() || len(s) != 4 {
		t.Fatalf("the rectangle came out as %v", s)
	}
	for _, c := range s {
		if p := c.Start(); !onChannel(p.X, monks.Across) || !onChannel(p.Y, monks.Along) {
			t.Errorf("corner %v is not where two channels cross", p)
		}
	}
	for _, l := range out.Lines {
		pitch := monks.Pitch(l.Axis)
		if d := math.Abs(l.Was + l.Moved - float64(l.Channel)*pitch); d > 1e-9 {
			t.Errorf("%+v: was and moved do not add up to the channel, by %g", l, d)
		}
		if math.Abs(l.Moved) > pitch/2+1e-9 {
			t.Errorf("%+v moved more than half a channel with room all round", l)
		}
	}
}

// A stem that leans by less than the angle is set upright, with what hangs on
// its ends and on its middle.
func TestSnapCarriesWhatTouches(t *testing.T) {
	stem := paths.Polyline(pt(10, 0), pt(10.5, 40))
	bar := paths.Polyline(pt(10.25, 20), pt(30, 35)) // from the stem's middle
	bowl := paths.Stroke{paths.Cubic{A: pt(10.5, 40), B: pt(25, 40), C: pt(25, 22), D: pt(10.25, 20)}}
	far := paths.Stroke{paths.Circle(pt(200, 200), 20)}
	out := mustSnap(t, []paths.Stroke{stem, bar, bowl, far}, monks, Options{})
	x := out.Strokes[0].Start().X
	if x != out.Strokes[0].End().X || !onChannel(x, monks.Across) {
		t.Fatalf("the stem runs from %v to %v", out.Strokes[0].Start(), out.Strokes[0].End())
	}
	if got := out.Strokes[1].Start(); got.X != x || got != out.Strokes[2].End() {
		t.Errorf("the bar starts at %v, off the stem at %g", got, x)
	}
	if out.Strokes[2].Start() != out.Strokes[0].End() {
		t.Error("the bowl came off the stem")
	}
	if got := out.Strokes[3][0]; got != far[0] {
		t.Errorf("a circle far from every run became %v", got)
	}
}

func TestSnapLeavesAlone(t *testing.T) {
	circle := paths.Stroke{paths.Circle(pt(50, 50), 30)}
	var ring []paths.Point // a circle of short lines, some of them upright
	for i := 0; i <= 120; i++ {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%120) / 120)
		ring = append(ring, pt(150+100*cos, 150+100*sin))
	}
	r := rand.New(rand.NewPCG(31, 32))
	var drawn []paths.Point // the same with a hand's wobble, in short pieces
	for i := 0; i <= 1200; i++ {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%1200) / 1200)
		q := 60 + 0.06*r.NormFloat64()
		drawn = append(drawn, pt(150+q*cos, 150+q*sin))
	}
	for name, s := range map[string]paths.Stroke{
		"drawn ring":    paths.Polyline(drawn...),
		"circle":        circle,
		"ring of lines": paths.Polyline(ring...),
		"leaning line":  paths.Polyline(pt(0, 0), pt(10, 100)),
		"short upright": paths.Polyline(pt(3, 0), pt(3, 5)),
		"dot":           paths.Polyline(pt(3.3, 4.4)),
		"shallow bow":   {paths.ArcBulge(pt(5, 0), pt(5, 60), 0.2)},
		"empty":         nil,
	} {
		out := mustSnap(t, []paths.Stroke{s}, monks, Options{})
		if len(out.Lines) != 0 {
			t.Errorf("%s: lines %+v", name, out.Lines)
		}
		if len(out.Strokes[0]) != len(s) {
			t.Errorf("%s: changed", name)
			continue
		}
		for i := range s {
			if out.Strokes[0][i] != s[i] {
				t.Errorf("%s: curve %d became %v", name, i, out.Strokes[0][i])
			}
		}
	}
}

// A chain of short lines with a hand's wobble is one line; so are a flat curve
// and two lines that go on from each other.
func TestSnapFindsRuns(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 34))
	var drawn []paths.Point
	for i := range 80 {
		drawn = append(drawn, pt(50+0.005*float64(i)+0.04*(2*r.Float64()-1), 10+float64(i)*0.7))
	}
	for name, s := range map[string]paths.Stroke{
		"wobbling line":     paths.Polyline(drawn...),
		"flat cubic":        {paths.Cubic{A: pt(50, 0), B: pt(50.2, 20), C: pt(50.2, 40), D: pt(50, 60)}},
		"flat arc":          {paths.ArcBulge(pt(50, 0), pt(50.4, 60), 0.006)},
		"two in a row":      paths.Polyline(pt(50, 0), pt(50.1, 20), pt(50, 45)),
		"at a stroke's end": paths.Polyline(pt(20, 0), pt(50, 5), pt(50.3, 45)),
		"round a start":     paths.Polyline(pt(50, 20), pt(50, 60), pt(80, 50), pt(50.1, 0), pt(50, 20)),
	} {
		out := mustSnap(t, []paths.Stroke{s}, monks, Options{})
		if len(out.Lines) != 1 || out.Lines[0].Axis != weave.Across || out.Lines[0].Length < 39 {
			t.Errorf("%s: %+v", name, out.Lines)
			continue
		}
		for _, c := range out.Strokes[0] {
			if _, ok := c.(paths.Line); !ok {
				t.Errorf("%s: a run is drawn as %T", name, c)
			}
		}
	}
}

func TestSnapRefuses(t *testing.T) {
	line := []paths.Stroke{paths.Polyline(pt(0, 0), pt(0, 50))}
	for name, c := range map[string]struct {
		s   []paths.Stroke
		g   weave.Grid
		opt Options
	}{
		"over 20 degrees": {line, monks, Options{Angle: 20.01}},
		"negative angle":  {line, monks, Options{Angle: -3}},
		"not a number":    {line, monks, Options{Angle: math.NaN()}},
		"no grid":         {line, weave.Grid{}, Options{Angle: 3}},
		"far out":         {[]paths.Stroke{paths.Polyline(pt(0, 0), pt(0, 1e9))}, monks, Options{Angle: 3}},
		"infinite":        {[]paths.Stroke{paths.Polyline(pt(0, 0), pt(0, math.Inf(1)))}, monks, Options{Angle: 3}},
		"broken":          {[]paths.Stroke{{paths.Line{A: pt(0, 0), B: pt(1, 1)}, paths.Line{A: pt(2, 2), B: pt(3, 3)}}}, monks, Options{Angle: 3}},
	} {
		if _, err := Strokes(c.s, c.g, c.opt); err == nil {
			t.Errorf("%s: not refused", name)
		} else if _, ok := err.(*fault.Error); !ok {
			t.Errorf("%s: %v is no fault", name, err)
		}
	}
}

// sketch draws strokes of every kind that often share ends and often lie nearly
// on the weave.
func sketch(t *rapid.T) []paths.Stroke {
	coord := rapid.Float64Range(0, 120)
	jitter := rapid.Float64Range(-0.4, 0.4)
	var pool []paths.Point
	next := func() paths.Point {
		k := rapid.IntRange(0, 3).Draw(t, "from")
		if len(pool) > 0 && k > 0 {
			p := pool[rapid.IntRange(0, len(pool)-1).Draw(t, "which")]
			switch k {
			case 1:
				return p
			case 2:
				return pt(p.X+jitter.Draw(t, "dx"), coord.Draw(t, "y"))
			case 3:
				return pt(coord.Draw(t, "x"), p.Y+jitter.Draw(t, "dy"))
			}
		}
		return pt(coord.Draw(t, "x"), coord.Draw(t, "y"))
	}
	strokes := make([]paths.Stroke, rapid.IntRange(1, 6).Draw(t, "strokes"))
	for i := range strokes {
		p := next()
		first := p
		n := rapid.IntRange(1, 5).Draw(t, "curves")
		for j := range n {
			pool = append(pool, p)
			q := next()
			if j == n-1 && n > 2 && rapid.Bool().Draw(t, "close") {
				q = first
			}
			var c paths.Curve = paths.Line{A: p, B: q}
			switch rapid.IntRange(0, 5).Draw(t, "kind") {
			case 0:
				c = paths.Cubic{A: p, B: next(), C: next(), D: q}
			case 1:
				c = paths.ArcBulge(p, q, rapid.Float64Range(-1, 1).Draw(t, "bulge"))
			}
			strokes[i] = append(strokes[i], c)
			p = q
		}
	}
	return strokes
}

func TestSnapPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := sketch(t)
		out, err := Strokes(in, monks, Options{Angle: rapid.Float64Range(0.1, 20).Draw(t, "angle")})
		if err != nil {
			t.Fatal(err)
		}
		if len(out.Strokes) != len(in) {
			t.Fatalf("%d strokes became %d", len(in), len(out.Strokes))
		}
		went := map[paths.Point]paths.Point{}
		follow := func(p, q paths.Point) {
			if r, ok := went[p]; ok && r != q {
				t.Fatalf("what met at %v went to %v and to %v", p, r, q)
			}
			went[p] = q
		}
		for i, s := range out.Strokes {
			if err := s.Validate(); err != nil {
				t.Fatal(err)
			}
			follow(in[i].Start(), s.Start())
			follow(in[i].End(), s.End())
		}
		for _, l := range out.Lines {
			if !hasLine(out.Strokes, l) {
				t.Fatalf("nothing is drawn in the channel of %+v", l)
			}
		}
	})
}

// hasLine reports whether a line is drawn in l's channel at its middle.
func hasLine(strokes []paths.Stroke, l Line) bool {
	want := float64(l.Channel) * monks.Pitch(l.Axis)
	_, mid := l.Axis.Split(l.At)
	for _, s := range strokes {
		for _, c := range s {
			a, u := l.Axis.Split(c.Start())
			b, v := l.Axis.Split(c.End())
			if math.Abs(a-want) <= 1e-9 && math.Abs(b-want) <= 1e-9 && min(u, v) <= mid && mid <= max(u, v) {
				return true
			}
		}
	}
	return false
}

// Lines that lean have one cause, and one sentence; two of them are told one by one.
func TestLeaningLinesAreToldOnce(t *testing.T) {
	g := weave.Grid{Across: 2, Along: 2}
	for _, c := range []struct {
		sides int
		want  []string
	}{
		{2, []string{"moved-over-a-channel", "moved-over-a-channel"}},
		{4, []string{"lines-lean"}},
	} {
		var strokes []paths.Stroke
		for i := range c.sides {
			x := 60 * float64(i)
			strokes = append(strokes, paths.Polyline(pt(x, 0), pt(x+7, 200)))
		}
		out, err := Strokes(strokes, g, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, w := range out.Warnings {
			got = append(got, w.Code)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%d leaning lines: %v, want %v", c.sides, out.Warnings, c.want)
		}
	}
}

// Many lines that had to go far, here to keep a channel between them, are told in one
// sentence that names the farthest.
func TestManyFarLinesAreToldOnce(t *testing.T) {
	g := weave.Grid{Across: 2, Along: 2}
	var strokes []paths.Stroke
	for i := range 12 {
		x := 1.31 * float64(i)
		strokes = append(strokes, paths.Polyline(pt(x, 0), pt(x, 60)))
	}
	out, err := Strokes(strokes, g, Options{Loose: func(int) bool { return true }})
	if err != nil {
		t.Fatal(err)
	}
	far := 0.
	for _, l := range out.Lines {
		far = max(far, math.Abs(l.Moved))
	}
	if len(out.Warnings) != 1 || !strings.Contains(out.Warnings[0].Message, fmt.Sprintf("moved %.1f mm", far)) {
		t.Errorf("the farthest moved %.1f mm: %v", far, out.Warnings)
	}
}
