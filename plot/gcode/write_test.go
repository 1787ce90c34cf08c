package gcode

import (
	"context"
	"errors"
	"flag"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// codec is what this package writes and reads.
var codec = programtest.Codec{Write: Write, Read: Read, MostSteps: mostSteps}

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// sample has one of everything.
func sample() []program.Block {
	square := paths.Polyline(pt(10, 10), pt(30, 10), pt(30, 25.4), pt(10, 25.4), pt(10, 10))
	leaf := paths.Stroke{paths.ArcBulge(pt(40, 10), pt(60, 10), 0.5), paths.ArcBulge(pt(60, 10), pt(40, 10), -0.25)}
	ring := paths.Stroke{paths.Circle(pt(80, 20), 7.5)}
	dot := paths.Polyline(pt(100, 5))
	head := []program.Block{
		{Kind: program.Remark, Text: "lighthouse mat, drawn mirrored: the back of the rug is seen, 18 x 24 in; a remark that is long enough for two lines"},
		{Kind: program.Remark, Text: "layer “Näht” (red) 100%!"},
		{Kind: program.Pen, Number: 1},
	}
	out := append(head, programtest.Blocks(33.3, square, leaf)...)
	out = append(out, program.Block{Kind: program.Pen, Number: 2}, program.Block{Kind: program.Dwell, Seconds: 0.5})
	out = append(out, programtest.Blocks(0, ring, dot)...)
	return append(out, program.Block{Kind: program.Pause, Text: "wipe the tip"},
		program.Block{Kind: program.Travel, Curve: paths.Line{B: pt(0, 0)}})
}

func TestWriteGolden(t *testing.T) {
	for _, name := range []string{"practice", "gantry-servo"} {
		got, err := Write(context.Background(), program.Program{Blocks: sample()}, programtest.Machine(t, name))
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join("testdata", name+".gcode")
		programtest.Golden(t, file, got, *update)
	}
}

// TestLines holds what is written to the rules of NISTIR 6556: 3.3 on lines,
// 3.3.4 on comments, table 4 on modal groups; and to plain characters that no
// small controller takes for a command of its own.
func TestLines(t *testing.T) {
	got, err := Write(context.Background(), program.Program{Blocks: sample()}, programtest.Machine(t, "practice"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(string(got), "\n"), "\n")
	acted := func(r rune) bool { return r < ' ' || r > '}' || strings.ContainsRune("!?%", r) }
	for i, l := range lines {
		if len(l) > 80 || l == "" || strings.ContainsFunc(l, acted) {
			t.Errorf("line %d is %q", i+1, l)
		}
	}
	if lines[0] != "(weftplot:1 machine practice)" || lines[len(lines)-1] != "M2" {
		t.Errorf("it opens with %q and ends with %q", lines[0], lines[len(lines)-1])
	}
	lifted := false
	for _, l := range lines {
		lifted = lifted || l == "G0 Z5"
		if strings.ContainsAny(l, "XY") && l[0] != '(' && !lifted {
			t.Errorf("%q stands before the pen is lifted", l)
		}
	}
}

func TestPenIsUpWhereItMustBe(t *testing.T) {
	down := program.Block{Kind: program.PenDown}
	line := program.Block{Kind: program.Draw, Curve: paths.Line{B: pt(5, 0)}}
	for name, last := range map[string]program.Block{
		"pause":  {Kind: program.Pause, Text: "wait"},
		"pen":    {Kind: program.Pen, Number: 2},
		"travel": {Kind: program.Travel, Curve: paths.Line{A: pt(5, 0)}},
		"end":    {Kind: program.Remark, Text: "end"},
	} {
		got, err := Write(context.Background(), program.Program{Blocks: []program.Block{down, line, last}}, programtest.Machine(t, "practice"))
		if err != nil {
			t.Fatal(err)
		}
		_, after, drawn := strings.Cut(string(got), "\nX5")
		if !drawn {
			t.Fatalf("%s: nothing is drawn:\n%s", name, got)
		}
		up := strings.Index(after, "G0 Z5")
		for _, word := range []string{"M0", "\nX", "X0", "M2"} {
			if at := strings.Index(after, word); at >= 0 && at < up {
				t.Errorf("%s: %q stands before the pen is lifted:\n%s", name, word, got)
			}
		}
		if up < 0 {
			t.Errorf("%s: the pen is not lifted:\n%s", name, got)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	draw := func(c paths.Curve) []program.Block {
		return []program.Block{{Kind: program.PenDown}, {Kind: program.Draw, Curve: c}}
	}
	for name, blocks := range map[string][]program.Block{
		"infinite":    draw(paths.Line{B: pt(math.Inf(1), 0)}),
		"not number":  draw(paths.Line{B: pt(0, math.NaN())}),
		"elsewhere":   draw(paths.Line{A: pt(1, 0), B: pt(2, 0)}),
		"no curve":    {{Kind: program.Draw}},
		"no way":      {{Kind: program.Travel}},
		"too slow":    {{Kind: program.Draw, Curve: paths.Line{B: pt(1, 0)}, Feed: 1e-6}},
		"no kind":     {{Kind: 99}},
		"no duration": {{Kind: program.Dwell, Seconds: math.NaN()}},
	} {
		_, err := Write(context.Background(), program.Program{Blocks: blocks}, programtest.Machine(t, "practice"))
		var bad *fault.Error
		if !errors.As(err, &bad) || !strings.HasPrefix(bad.Where, "block ") {
			t.Errorf("%s: Write gives %v, want a fault that names the block", name, err)
		}
	}
}

// TestFeedWord checks that F is the feed in mm/min, rounded down, over the
// calibration: a machine that draws 1 % long runs 1 % fast.
func TestFeedWord(t *testing.T) {
	m := programtest.Machine(t, "practice")
	long := m
	long.Calib.Scale = [2]float64{1, 1.01}
	for _, c := range []struct {
		m    profiles.Machine
		feed float64
		want string
	}{
		{m, 0, "F2400"}, {m, 40, "F2400"}, {m, 100, "F2400"}, {m, 38.1, "F2286"},
		{m, 33.3333, "F1999.9"}, {m, 0.01, "F0.6"}, {long, 40, "F2376.2"},
	} {
		w := &writer{m: c.m}
		if got, err := w.feedWord(c.feed, float64(w.m.Speed.Draw)); got != c.want || err != nil {
			t.Errorf("feedWord(%v) = %v, %v, want %v", c.feed, got, err, c.want)
		}
	}
}

func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		n      int64
		places int
		want   string
	}{{12500, 3, "12.5"}, {0, 3, "0"}, {-1, 3, "-0.001"}, {-20000, 4, "-2"}, {7, 1, "0.7"}, {100, 0, "100"}} {
		if got := decimal(c.n, c.places); got != c.want {
			t.Errorf("decimal(%d, %d) = %q, want %q", c.n, c.places, got, c.want)
		}
	}
}

// TestFeedOfPenLines checks that a feed stays in force until another is said (NISTIR 6556,
// 3.7.1 and table 4): it is said again after the lines that lift and lower the pen only
// where those change it. What is read back is drawn at the feed asked for.
func TestFeedOfPenLines(t *testing.T) {
	for _, c := range []struct {
		name     string
		up, down []string
		said     int // F words of ours
		feed     float64
	}{
		{"no feed", []string{"M5"}, []string{"M3 S90"}, 1, 40},
		{"its own feed", []string{"G0 Z5"}, []string{"G1 Z0 F600"}, 3, 40},
		{"the feed of drawing", []string{"G0 Z5"}, []string{"G1 Z0 F2400"}, 0, 40},
		{"a little slower", []string{"G0 Z5"}, []string{"G1 Z0 F2300"}, 0, 2300. / 60},
		{"a little faster", []string{"G0 Z5"}, []string{"G1 Z0 F2500"}, 3, 40},
		{"changed on the way up", []string{"G1 Z5 F900"}, []string{"G1 Z0"}, 3, 40},
		{"a feed of many digits", []string{"G0 Z5"}, []string{"G1 Z0 F2400.05"}, 3, 40},
		{"units said again", []string{"G0 Z5"}, []string{"G21 G1 Z0 F2400"}, 3, 40},
	} {
		m := programtest.Machine(t, "practice")
		m.Lift.Up, m.Lift.Down = c.up, c.down
		strokes := []paths.Stroke{paths.Polyline(pt(1, 1), pt(9, 1), pt(9, 9)), paths.Polyline(pt(1, 20), pt(9, 20)), paths.Polyline(pt(1, 30), pt(9, 30))}
		text, err := Write(context.Background(), program.Program{Blocks: programtest.Blocks(40, strokes...)}, m)
		if err != nil {
			t.Fatal(err)
		}
		said := 0
		for _, l := range strings.Split(string(text), "\n") {
			if strings.ContainsAny(l, "XY") && strings.Contains(l, "F") {
				said++
			}
		}
		if said != c.said {
			t.Errorf("%s: F is said %d times, want %d:\n%s", c.name, said, c.said, text)
		}
		p, err := Read(context.Background(), "test", text, &m)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range p.Blocks {
			if b.Kind == program.Draw && math.Abs(b.Feed-c.feed) > 1e-9 {
				t.Errorf("%s: a line is drawn at %g mm/s, want %g:\n%s", c.name, b.Feed, c.feed, text)
			}
		}
	}
}
