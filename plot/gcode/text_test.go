package gcode

import (
	"context"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

// TestCompact: what a compact program leaves out, and that it reads back as the other
// does. Blanks outside comments mean nothing (NISTIR 6556, 3.3.1), and a number may begin
// with its point (3.3.2.1).
func TestCompact(t *testing.T) {
	m := programtest.Machine(t, "gantry-servo")
	p := program.Program{Blocks: append([]program.Block{
		{Kind: program.Remark, Text: "a remark keeps its blanks"},
		{Kind: program.Dwell, Seconds: 0.5},
	}, programtest.Blocks(40, paths.Polyline(paths.Point{X: 0.5, Y: 0.25}, paths.Point{X: 2.5, Y: 0.25}))...)}
	m.GCode.Compact = true
	text, err := Write(context.Background(), p, m)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"\n(a remark keeps its blanks)\n", "\nG21G17G90G94\nM5\nG4P.25\n", "\nG4P.5\n", "\nG0X.5Y.25\nM3S90\nG4P.25\nG1X2.5F2400\n"} {
		if !strings.Contains("\n"+string(text), want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	back, err := Read(context.Background(), "compact", text, &m)
	if err != nil || len(back.Notes)+len(back.Doubts)+len(back.Beyond) > 0 {
		t.Fatalf("%v, %+v", err, back)
	}
	if got := back.Strokes(); len(got) != 1 || got[0].Start() != (paths.Point{X: 0.5, Y: 0.25}) {
		t.Errorf("%v is read back", got)
	}
}

// TestCompactFeeds: a curve that a compact program draws at the feed in force is never
// faster than it may be, and never slower than by a tenth.
func TestCompactFeeds(t *testing.T) {
	m := programtest.Machine(t, "practice")
	for _, c := range []struct {
		feed    float64
		compact bool
		want    string
	}{{36, false, "F2400"}, {36, true, ""}, {35.9, true, "F2400"}, {38, false, ""}, {40, true, ""}} {
		m.GCode.Compact = c.compact
		blocks := programtest.Blocks(c.feed, paths.Polyline(paths.Point{X: 1}, paths.Point{X: 2}, paths.Point{X: 3}))
		blocks[3].Feed = 40 // the second line of the stroke
		text, err := Write(context.Background(), program.Program{Blocks: blocks}, m)
		if err != nil {
			t.Fatal(err)
		}
		_, after, _ := strings.Cut(string(text), "\nX3")
		got, _, _ := strings.Cut(after, "\n")
		if got != c.want {
			t.Errorf("at %v mm/s before, compact %v: %q, want %q", c.feed, c.compact, got, c.want)
		}
	}
}

// TestSameLine: what a compact program leaves out makes no other line of it.
func TestSameLine(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"G4 P0.25", "G4P.25", true}, {"N5 m3 S0.5\n", "M3S.5", true}, {"G1 Z-0.5 F600", "G1Z-.5F600", true},
		{"G1 Z10.5", "G1Z1.5", false}, {"G1 Z0.05", "G1Z.5", false}, {"M5", "M3", false}, {"G0 Z100.5", "G0Z100.5", true},
	} {
		if got := SameLine(c.a, c.b); got != c.same {
			t.Errorf("%q and %q: %v", c.a, c.b, got)
		}
	}
}
