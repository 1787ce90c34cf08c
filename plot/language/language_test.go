package language_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

func machine(t testing.TB, name string) profiles.Machine { return programtest.Machine(t, name) }

// machines are all the built-in ones.
func machines(t testing.TB) []profiles.Machine {
	return programtest.Machines(t, profiles.Languages...)
}

func of(t testing.TB, m profiles.Machine) language.Language {
	t.Helper()
	l, err := language.Of(m.Language)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestOf: every name that a profile may have is a language of that name, and no
// other is.
func TestOf(t *testing.T) {
	for _, name := range profiles.Languages {
		l, err := language.Of(name)
		if err != nil || l.Name() != name {
			t.Errorf("Of(%q) = %v, %v", name, l, err)
		}
		if u := machine(t, language.UsualMachine(name)); u.Language != name {
			t.Errorf("the usual machine of %s reads %s", name, u.Language)
		}
	}
	if _, err := language.Of("latin"); !errors.Is(err, fault.Input) {
		t.Errorf("an unknown language gives %v", err)
	}
}

func TestDetect(t *testing.T) {
	for text, hpgl := range map[string]bool{
		"IN;SP1;": true, " in;pu0,0;": true, "\x1b.(;IN;": true, ";;PU": true, "\x1b%0BIN": true, "\x1bE\x1b%0BIN": true, "\x1bE": true, ";IN;": true, "\n;;;PU;": true,
		"\x00\x00\x1bE\x1b%0BIN": true, "\xef\xbb\xbf\x1bE\x1b%0BIN": true, "\x00IN;": true, "\x1b%1BIN": true, "\x1b%-1BIN": true, "\x1bE\x1b&l6A\x1b%0BIN": true,
		"\x11IN;": true, "\x0c\x1bE": true, "\x04\x7fIN;": true, "\x02PU;": true, "\x1aSP1;": true, "\x11G21": false, "\x7fN1G0": false,
		"@PJL SET X=1\r\n": true, "\x1b%-12345X@pjl": true, "OI;IN;": true, "VA;": true, "bl": true, "QM;": false,
		"O100 sub\nG0X1": false, "o<a>call": false, "; not ours\nG21": false, "; in mm\nG0 X1": false, "Dear Morag": false,
		"G21 G90": false, "(comment)\nG0": false, "%\nG0 X1": false, "N10 G0": false, "": false, "X1 Y2": false,
	} {
		want := profiles.GCode
		if hpgl {
			want = profiles.HPGL
		}
		if got := language.Detect([]byte(text)); got != want {
			t.Errorf("Detect(%q) = %v, want %v", text, got, want)
		}
	}
}

// TestFits: who may be given what.
func TestFits(t *testing.T) {
	gcode, hpgl, hpgl2 := machine(t, "practice"), machine(t, "flatbed-hpgl"), machine(t, "flatbed-hpgl2")
	to := func(x float64) []program.Block {
		return []program.Block{{Kind: program.Travel, Curve: paths.Line{B: paths.Point{X: x}}}}
	}
	for _, c := range []struct {
		name string
		p    program.Program
		m    profiles.Machine
		kind error
		says string
	}{
		{"its own", program.Program{Language: "gcode", Machine: "practice", Blocks: to(10)}, gcode, nil, ""},
		{"nobody's", program.Program{Language: "gcode"}, gcode, nil, ""},
		{"G-code on a plotter", program.Program{Language: "gcode"}, hpgl, fault.Input, "is in G-code"},
		{"HP-GL on a gantry", program.Program{Language: "hpgl"}, gcode, fault.Input, "reads G-code"},
		{"HP-GL on HP-GL/2", program.Program{Language: "hpgl"}, hpgl2, nil, ""},
		{"HP-GL/2 on HP-GL", program.Program{Language: "hpgl2"}, hpgl, fault.Input, "is in HP-GL/2"},
		{"another's", program.Program{Language: "gcode", Machine: "gantry-z"}, gcode, fault.Input, `prepared for the machine "gantry-z"`},
		{"the edge", program.Program{Language: "gcode", Blocks: to(float64(gcode.Area[0]) + 0.0009)}, gcode, nil, ""},
		{"over the edge", program.Program{Language: "gcode", Blocks: to(float64(gcode.Area[0]) + 1.5)}, gcode, fault.Fit, "by 1.50 mm"},
	} {
		err := language.Fits("a.txt", c.p, c.m)
		if c.kind == nil && err != nil || c.kind != nil && (!errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), "a.txt")) {
			t.Errorf("%s: %v, want %v with %q", c.name, err, c.kind, c.says)
		}
	}
}

// TestMoveTo: the place that a move names is the place that its text leads to,
// with the pen up, whatever the calibration, and no farther off than half a step
// on each axis.
func TestMoveTo(t *testing.T) {
	all := machines(t)
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(all).Draw(t, "machine")
		m.Calib.Scale = rapid.SampledFrom([][2]float64{{1, 1}, {1.004, 0.997}}).Draw(t, "scale")
		l, err := language.Of(m.Language)
		if err != nil {
			t.Fatal(err)
		}
		reach := m.Reach()
		to := paths.Point{X: rapid.Float64Range(reach.Min.X, reach.Max.X).Draw(t, "x"), Y: rapid.Float64Range(reach.Min.Y, reach.Max.Y).Draw(t, "y")}
		text, at := l.MoveTo(m, to)
		if off := max(math.Abs(at.X-to.X), math.Abs(at.Y-to.Y)); off > m.Step()/2*1.005 {
			t.Fatalf("%q is %v mm off %v", text, off, to)
		}
		p, err := l.Read(context.Background(), "move", append(l.Ready(m), text...), &m)
		if err != nil {
			t.Fatal(err)
		}
		end := paths.Point{}
		for _, b := range p.Blocks {
			if b.Kind.Down(false) {
				t.Fatalf("%q lowers the pen", text)
			}
			if b.Curve != nil {
				end = b.Curve.End()
			}
		}
		if end.Dist(at) > 1e-9 {
			t.Fatalf("%q leads to %v, not to %v", text, end, at)
		}
	})
}

// TestPenUp: the pen is up after PenUp wherever the text before it was cut off,
// and HP-GL's is after Raise between any two chunks of a program.
func TestPenUp(t *testing.T) {
	all := machines(t)
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(all).Draw(t, "machine")
		l, err := language.Of(m.Language)
		if err != nil {
			t.Fatal(err)
		}
		text, err := l.Write(context.Background(), program.Program{Blocks: programtest.Blocks(30, programtest.Strokes(paths.Point{X: 100, Y: 100}).Draw(t, "strokes")...)}, m)
		if err != nil {
			t.Fatal(err)
		}
		chunks := l.Chunks(text)
		cut := chunks[rapid.IntRange(0, len(chunks)-1).Draw(t, "chunk")].End
		for _, up := range [][]byte{l.PenUp(m), l.Raise()} {
			if up == nil {
				continue
			}
			p, err := l.Read(context.Background(), "cut", append(text[:cut:cut], up...), &m)
			if err != nil {
				t.Fatal(err)
			}
			down := false
			for _, b := range p.Blocks {
				down = b.Kind.Down(down)
			}
			if down {
				t.Fatalf("the pen is down after %q and %q", text[:cut], up)
			}
		}
	})
	// Modes and instructions cut short do not change what lifts the pen.
	for _, c := range []struct{ machine, before string }{
		{"practice", "G20 G91 G1 Z-1 F9"}, {"flatbed-hpgl", "PD1,2,3"}, {"flatbed-hpgl", "PD9,9;LBlabel"}, {"flatbed-hpgl2", "PE\xc1\xc1\xc1"},
	} {
		m := machine(t, c.machine)
		l := of(t, m)
		p, err := l.Read(context.Background(), "cut", append([]byte(c.before), l.PenUp(m)...), &m)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(p.Blocks); n == 0 || p.Blocks[n-1].Kind != program.PenUp {
			t.Errorf("after %q the blocks are %+v", c.before, p.Blocks)
		}
	}
}

// TestParsePlace: answers to OA are three whole numbers, x, y and the pen, in
// plotter units of 0.025 mm: HP 7470A Interfacing and Programming Manual.
func TestParsePlace(t *testing.T) {
	m := machine(t, "flatbed-hpgl")
	if at, down, ok := language.ParsePlace(m, "400,-80,1\r\n"); !ok || !down || at.Dist(paths.Point{X: 10, Y: -2}) > 1e-9 {
		t.Errorf("400,-80,1 is %v, %v", at, ok)
	}
	for _, bad := range []string{"", "0", "1,2", "1,2,3,4", "a,2,0", "1,inf,0", "1,2,x", "1,2,0.5"} {
		if at, _, ok := language.ParsePlace(m, bad); ok {
			t.Errorf("%q is %v", bad, at)
		}
	}
}

// TestStatus: the bits of OS, HP 7470A Interfacing and Programming Manual, page
// 7-8: 1 pen down, 8 initialised, 16 ready, 32 error; 24 when it is switched on.
func TestStatus(t *testing.T) {
	for n, want := range map[float64]string{
		24: "began", 16: "", 17: "", 48: "failed", 56: "began failed",
		8: "no", 0: "no", -16: "no", 16.5: "no", 80: "no",
	} {
		s, ok := language.ParseStatus(n)
		var got []string
		if !ok {
			got = append(got, "no")
		} else {
			if s.Began() {
				got = append(got, "began")
			}
			if s.Failed() {
				got = append(got, "failed")
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%g is read as %q, want %q", n, got, want)
		}
	}
}

// TestWindow: IW takes the lower left and the upper right corner in plotter units
// (7470A, 2-9), and a text that sets windows or units of its own is left alone.
func TestWindow(t *testing.T) {
	r := paths.Rect{Min: paths.Point{X: -20, Y: 30}, Max: paths.Point{X: 400, Y: 1200}}
	if got := language.Window(r); got != "IW-20,30,400,1200;" {
		t.Errorf("the window is %q", got)
	}
	for text, want := range map[string]bool{
		"IN;SP1;PUPA1,1;PDPR4,4;": false,
		"IN;IW0,0,9,9;PD1,1;":     true, "IN;iw;": true, "SC0,1,0,1;": true, "RO90;": true,
		"LBIW\x03PU;": false,
	} {
		if got := language.OwnsWindow([]byte(text)); got != want {
			t.Errorf("OwnsWindow(%q) = %v", text, got)
		}
	}
}

// TestNumbers: the answers of HP-GL are numbers apart by commas.
func TestNumbers(t *testing.T) {
	for text, want := range map[string]int{"16\r": 1, "1,-2,0": 3, " 0, 0 , 9,9": 4, "": 0, "ok": 0, "1,,2": 0, "NaN": 0, "1,2x": 0, "1e999": 0} {
		if got, ok := language.Numbers(text); len(got) != want || ok != (want > 0) {
			t.Errorf("Numbers(%q) = %v, %v", text, got, ok)
		}
	}
}

// Whoever waits for a program to be read or written can leave.
func TestALeaverIsNotKept(t *testing.T) {
	over, leave := context.WithCancel(context.Background())
	leave()
	for _, name := range profiles.Names(profiles.MachineKind) {
		m, err := profiles.MachineNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		strokes := make([]paths.Stroke, 5000)
		for i := range strokes {
			strokes[i] = paths.Polyline(paths.Point{X: 10, Y: 10}, paths.Point{X: 20, Y: 10 + float64(i%50)})
		}
		p := program.Program{Language: string(m.Language), Blocks: programtest.Blocks(20, strokes...)}
		if _, err := language.Write(over, p, m); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: Write returned %v", name, err)
		}
		text, err := language.Write(context.Background(), p, m)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := language.ReadAny(over, name, text, &m); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: ReadAny returned %v", name, err)
		}
	}
}

// TestWideText: text of two bytes a letter is named as what it is, in whichever order.
func TestWideText(t *testing.T) {
	for _, text := range []string{"\xff\xfeI\x00N\x00;\x00", "\xfe\xff\x00G\x002\x001"} {
		_, err := language.ReadAny(context.Background(), "wide.plt", []byte(text), nil)
		if !errors.Is(err, fault.Input) || !strings.Contains(err.Error(), "UTF-16") {
			t.Errorf("%q: %v", text, err)
		}
	}
}
