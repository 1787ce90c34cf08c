package hpgl

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
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
	meeting := paths.Stroke{paths.Line{A: pt(40, 10), B: pt(40, 5)}}
	ring := paths.Stroke{paths.Circle(pt(80, 20), 7.5)}
	rounded := paths.Stroke{
		paths.Line{A: pt(10, 40), B: pt(30, 40)}, paths.ArcAround(pt(30, 45), 5, -math.Pi/2, math.Pi/2),
		paths.Line{A: pt(35, 45), B: pt(35, 60)},
	}
	rounded[1] = paths.Arc{From: pt(30, 40), To: pt(35, 45), Centre: pt(30, 45), Sweep: math.Pi / 2}
	dot := paths.Polyline(pt(100, 5))
	out := append([]program.Block{{Kind: program.Remark, Text: "lost"}, {Kind: program.Pen, Number: 1}}, programtest.Blocks(33.3, square, leaf, meeting)...)
	out = append(out, program.Block{Kind: program.Pen, Number: 2})
	out = append(out, programtest.Blocks(0, ring, rounded, dot)...)
	return append(out, program.Block{Kind: program.Pause, Text: "wipe the tip"},
		program.Block{Kind: program.Travel, Curve: paths.Line{B: pt(1, 0)}})
}

func TestWriteGolden(t *testing.T) {
	for _, name := range []string{"flatbed-hpgl", "flatbed-hpgl2"} {
		got, err := Write(context.Background(), program.Program{Blocks: sample()}, programtest.Machine(t, name))
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join("testdata", name+".hpgl")
		programtest.Golden(t, file, got, *update)
		checkLines(t, name, got, strings.HasSuffix(name, "2"))
		if !strings.HasPrefix(string(got), "IN;\nSP1;\n") || !strings.HasSuffix(string(got), "SP0;\n") {
			t.Errorf("%s opens or ends wrongly:\n%s", name, got)
		}
	}
}

// checkLines holds a program to short lines, and to characters that a line
// carries: no controls, which handshakes are made of, with or without the eighth
// bit; eight bits only in encoded polylines.
func checkLines(t *testing.T, name string, text []byte, eight bool) {
	t.Helper()
	for i, l := range bytes.Split(text, []byte("\n")) {
		if len(l) > maxLine {
			t.Errorf("%s: line %d has %d characters", name, i+1, len(l))
		}
		for _, c := range l {
			if low := c & 0x7f; low < ' ' || low == 0x7f || c > 0x7f && !eight {
				t.Errorf("%s: line %d holds the byte %d: %q", name, i+1, c, l)
			}
		}
	}
}

// TestSevenBits: what is written for a line of seven bits has seven.
func TestSevenBits(t *testing.T) {
	m := programtest.Machine(t, "flatbed-hpgl2")
	m.HPGL.Bits = 7
	text, err := Write(context.Background(), program.Program{Blocks: sample()}, m)
	if err != nil {
		t.Fatal(err)
	}
	checkLines(t, "seven bits", text, false)
	if !bytes.Contains(text, []byte("PE7<=")) {
		t.Errorf("there is no polyline in base 32:\n%s", text)
	}
}

// TestNumbers: positions are numbered -32768 to 32767 (7475A Operation and
// Interconnection Manual, 2-4): 819.175 mm at 0.025 mm a unit. HP-GL/2 goes on.
func TestNumbers(t *testing.T) {
	far := []program.Block{{Kind: program.Travel, Curve: paths.Line{B: pt(0, 819.2)}}}
	near := []program.Block{{Kind: program.Travel, Curve: paths.Line{B: pt(0, 819.175)}}}
	_, err := Write(context.Background(), program.Program{Blocks: far}, programtest.Machine(t, "knife-cutter"))
	var bad *fault.Error
	if !errors.As(err, &bad) || bad.Kind != fault.Fit {
		t.Errorf("819.2 mm gives %v, want a fault that it does not fit", err)
	}
	if got, err := Write(context.Background(), program.Program{Blocks: near}, programtest.Machine(t, "knife-cutter")); err != nil || !strings.Contains(string(got), "PUPA0,32767;") {
		t.Errorf("819.175 mm gives %q, %v", got, err)
	}
	if _, err := Write(context.Background(), program.Program{Blocks: far}, programtest.Machine(t, "flatbed-hpgl2")); err != nil {
		t.Error(err)
	}
}

func TestWriteRefuses(t *testing.T) {
	draw := func(c paths.Curve) []program.Block { return []program.Block{{Kind: program.Draw, Curve: c}} }
	for name, blocks := range map[string][]program.Block{
		"infinite":   draw(paths.Line{B: pt(math.Inf(1), 0)}),
		"not number": draw(paths.Line{B: pt(0, math.NaN())}),
		"elsewhere":  draw(paths.Line{A: pt(1, 0), B: pt(2, 0)}),
		"no curve":   {{Kind: program.Draw}}, "no way": {{Kind: program.Travel}},
		"too slow": {{Kind: program.Draw, Curve: paths.Line{B: pt(1, 0)}, Feed: 1e-3}},
		"no kind":  {{Kind: 99}}, "wait": {{Kind: program.Dwell, Seconds: 1}},
	} {
		for _, m := range []string{"flatbed-hpgl", "flatbed-hpgl2"} {
			_, err := Write(context.Background(), program.Program{Blocks: blocks}, programtest.Machine(t, m))
			var bad *fault.Error
			if !errors.As(err, &bad) {
				t.Errorf("%s: Write gives %v, want a fault", name, err)
			}
		}
	}
}

// TestForce: FS follows SP (7470A has none; machines that do count it in steps:
// from memory). The pen's own wins over the machine's.
func TestForce(t *testing.T) {
	pen := func(n, force int) program.Block { return program.Block{Kind: program.Pen, Number: n, Force: force} }
	for _, c := range []struct {
		machine int
		blocks  []program.Block
		want    string
	}{
		{0, []program.Block{pen(1, 0)}, "IN;SP1;SP0;"},
		{0, nil, "IN;SP1;SP0;"},
		{3, nil, "IN;SP1;FS3;SP0;"},
		{3, []program.Block{pen(1, 0), pen(2, 0)}, "IN;SP1;FS3;SP2;SP0;"},
		{3, []program.Block{pen(1, 5), pen(2, 0)}, "IN;SP1;FS5;SP2;FS3;SP0;"},
		{0, []program.Block{pen(1, 5), pen(2, 0)}, "IN;SP1;FS5;SP2;FS;SP0;"},
		{0, []program.Block{pen(1, 5), pen(1, 6), pen(1, 6)}, "IN;SP1;FS5;SP1;FS6;SP0;"},
	} {
		m := programtest.Machine(t, "flatbed-hpgl")
		m.HPGL.Force = c.machine
		text, err := Write(context.Background(), program.Program{Blocks: c.blocks}, m)
		if got := strings.ReplaceAll(string(text), "\n", ""); got != c.want || err != nil {
			t.Errorf("force %d, pens %v: %q, %v, want %q", c.machine, c.blocks, got, err, c.want)
		}
		p, err := Read(context.Background(), "test", text, &m)
		if err != nil || len(p.Notes)+len(p.Doubts) > 0 {
			t.Errorf("%q reads back with %v, %v", text, err, p.Doubts)
		}
		if again, err := Write(context.Background(), p, m); err != nil || !bytes.Equal(again, text) {
			t.Errorf("%q is written again as %q, %v", text, again, err)
		}
	}
}

// TestSwap: a plotter that counts x away from who looks at it gets the two
// coordinates exchanged, and turns the other way about.
func TestSwap(t *testing.T) {
	quarter := paths.Arc{From: pt(30, 40), To: pt(35, 45), Centre: pt(30, 45), Sweep: math.Pi / 2}
	m := programtest.Machine(t, "flatbed-hpgl")
	m.HPGL.Swap = true
	text, err := Write(context.Background(), program.Program{Blocks: programtest.Blocks(0, paths.Stroke{paths.Line{A: pt(10, 40), B: pt(30, 40)}, quarter})}, m)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"PUPA1600,400;", "PDPR0,800;", "PR2,26,5,26,"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%q does not stand in\n%s", want, text)
		}
	}
}

// TestSpeed: VS takes cm/s (7470A, 3-3), rounded down.
func TestSpeed(t *testing.T) {
	m := programtest.Machine(t, "flatbed-hpgl") // 60 mm/s
	long := m
	long.Calib.Scale = [2]float64{1.01, 1}
	fast := m
	fast.Speed.Draw = 2000
	for _, c := range []struct {
		m    profiles.Machine
		feed float64
		want string
	}{{m, 0, "VS6;"}, {m, 33.39, "VS3.33;"}, {m, 100, "VS6;"}, {long, 60, "VS5.94;"}, {fast, 2000, "VS96;"}} {
		if got, err := newWriter(program.Program{}, c.m).speedFor(c.feed); got != c.want || err != nil {
			t.Errorf("speedFor(%v) = %v, %v, want %v", c.feed, got, err, c.want)
		}
	}
}

// TestFractionalBits: a coarse unit is split by bits after the point, so that
// the encoded form is no coarser than a pen can show.
func TestFractionalBits(t *testing.T) {
	for _, c := range []struct {
		unit float64
		want int
	}{{0.025, 0}, {0.02488, 0}, {0.05, 1}, {0.1, 2}, {1, 6}} {
		m := profiles.Machine{Language: profiles.HPGL2, HPGL: profiles.Plotter{Unit: paths.Length(c.unit)}}
		if got := m.FractionBits(); got != c.want {
			t.Errorf("a unit of %v mm has %d bits after the point, want %d", c.unit, got, c.want)
		}
	}
	m := programtest.Machine(t, "flatbed-hpgl2")
	m.HPGL.Unit = 0.1
	s := paths.Stroke{paths.Line{A: pt(1.02, 3.03), B: pt(7.07, 2.22)}}
	text, err := Write(context.Background(), program.Program{Blocks: programtest.Blocks(0, s)}, m)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Read(context.Background(), "test", text, &m)
	if err != nil {
		t.Fatal(err)
	}
	if d := deviation.Of(s, p.Strokes()[0], 1e-4); d > 0.0178 {
		t.Errorf("the line is %v mm off\n%s", d, text)
	}
}
