package gcode

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

func read(t testing.TB, text string) program.Program {
	t.Helper()
	return codec.Alone(t, text)
}

// last returns the last drawn curve or travel.
func last(t testing.TB, p program.Program) program.Block {
	t.Helper()
	for i := len(p.Blocks) - 1; i >= 0; i-- {
		if p.Blocks[i].Curve != nil {
			return p.Blocks[i]
		}
	}
	t.Fatal("nothing moves")
	return program.Block{}
}

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

// TestArcsOfTheReport reads the arc lines of the sample program in NISTIR 6556,
// appendix C.1, and the example of its section 3.5.3; the angles and lengths
// were worked out from them by hand.
func TestArcsOfTheReport(t *testing.T) {
	for _, c := range []struct {
		start, line string
		centre      paths.Point
		r, degrees  float64
		length      float64
	}{
		{"X16 Y2.5", "g3 x13.5 y0 i-2.5", pt(13.5, 2.5), 2.5, 270, 11.7810},
		{"X32.5 Y0", "g2 x32.5 j2.5", pt(32.5, 2.5), 2.5, -360, 15.7080},
		{"X57.5 Y0", "g2 x57.5 j2.5", pt(57.5, 2.5), 2.5, -360, 15.7080},
		{"X64 Y2", "g2 x69 r4", pt(66.5, 2-math.Sqrt(16-6.25)), 4, -77.364, 5.4011},
		{"X81 Y0", "g2 j2.5 y5", pt(81, 2.5), 2.5, -180, 7.8540},
		// From the direction (-3,-4) clockwise to (0,5): 180 - atan(3/4).
		{"X7 Y7", "G17 G2 X10 Y16 I3 J4", pt(10, 11), 5, -143.130, 12.4905},
	} {
		p := read(t, "G21\nG0 "+c.start+"\nG1 Z-0.5 F20\n"+c.line+"\nM2\n")
		arc, ok := last(t, p).Curve.(paths.Arc)
		if !ok {
			t.Errorf("%s: no arc but %v", c.line, last(t, p).Curve)
			continue
		}
		if arc.Centre.Dist(c.centre) > 1e-9 || !near(arc.Radius(), c.r, 1e-9) ||
			!near(arc.Sweep*180/math.Pi, c.degrees, 1e-3) || !near(arc.Length(), c.length, 1e-4) {
			t.Errorf("%s: %+v of %.4f mm, want centre %v radius %v, %v degrees, %v mm", c.line, arc, arc.Length(), c.centre, c.r, c.degrees, c.length)
		}
		if len(p.Notes)+len(p.Doubts) > 0 {
			t.Errorf("%s: %v, %v", c.line, p.Notes, p.Doubts)
		}
	}
}

// TestRadiusRule: the two radii may differ by 0.002 mm, or 0.0002 in: NISTIR
// 6556, 3.5.3.2.
func TestRadiusRule(t *testing.T) {
	for _, c := range []struct {
		text string
		ok   bool
	}{
		{"G21\nG1 F100 Z-1\nX10\nG2 X14.0019 I2", true},
		{"G21\nG1 F100 Z-1\nX10\nG2 X14.0021 I2", false},
		{"G20\nG1 F100 Z-1\nX1\nG2 X1.40019 I0.2", true},
		{"G20\nG1 F100 Z-1\nX1\nG2 X1.40021 I0.2", false},
	} {
		notes := read(t, c.text+"\nM2\n").Doubts
		if ok := len(notes) == 0; ok != c.ok || !ok && notes[0].Code != "arc-radius" {
			t.Errorf("%q: %v", c.text, notes)
		}
	}
}

// TestArcThatMisses: an arc whose radii differ is shown as one about the nearest
// centre that is as far from both ends; here 50 mm from each.
func TestArcThatMisses(t *testing.T) {
	p := read(t, "G21\nG0 X100\nG1 Z-1 F60\nG2 X200 I50.1\nM2\n")
	arc := last(t, p).Curve.(paths.Arc)
	if arc.Centre.Dist(pt(150, 0)) > 1e-9 || !near(arc.Radius(), 50, 1e-9) || !near(arc.To.Dist(arc.Centre), 50, 1e-9) {
		t.Errorf("%+v", arc)
	}
	if p.Doubts[0].Code != "arc-radius" || p.Doubts[0].At == nil || *p.Doubts[0].At != pt(200, 0) {
		t.Errorf("%+v", p.Doubts)
	}
}

// TestWhiteSpace: "g0x +0. 12 34y 7" is legal: NISTIR 6556, 3.3.
func TestWhiteSpace(t *testing.T) {
	if got := last(t, read(t, "g0x +0. 12 34y 7\nm2")).Curve.End(); got != pt(0.1234, 7) {
		t.Errorf("it goes to %v, want 0.1234, 7", got)
	}
}

// summary sums a program up for tables, in mm.
func summary(p program.Program) string {
	return programtest.Summary(p, func(at paths.Point) string { return fmt.Sprintf("%.4g,%.4g", at.X, at.Y) })
}

// readCases are texts, what they do and what is noted of them.
var readCases = map[string]struct{ text, want, notes string }{
	"absolute":        {"G90 G0 X1 Y2\nX3\nM2", "T1,2 T3,2", ""},
	"incremental":     {"G91 G0 X1 Y2\nX3\nM30", "T1,2 T4,2", ""},
	"inch":            {"G20 G1 Z-1 F60\nX1\nM2", "down D25.4,0@25.4", ""},
	"pen by Z":        {"G0 X5\nZ1\nG1 Z0 F600\nX6\nG0 Z2\nX0\nM2", "T5,0 down D6,0@10 up T0,0", ""},
	"pen by M":        {"M3 S90\nG1 F600 X5\nM5\nG0 X0\nM4\nM5\nM2", "down D5,0@10 up T0,0 down up", ""},
	"M3 first":        {"G1 F600 X5 M3\nM5\nM2", "down D5,0@10 up", ""},
	"dwell":           {"G4 P0.25\nM2", "wait0.25", ""},
	"dwell before":    {"M5 G4 P1 X5\nM2", "wait1 T5,0", "no-feed?:1"},
	"pause":           {"(MSG, wipe the tip)\nM0\nM2", "pause:wipe the tip", ""},
	"lost message":    {"(MSG, hello)\nG0 X1\nM2", "T1,0 remark:hello", ""},
	"message last":    {"G0 X1\n(MSG, hello)", "T1,0 remark:hello", "no-end:2"},
	"comments":        {"(one) G0 X1 ; two\n; three\nM2", "remark:one remark:two T1,0 remark:three", ""},
	"tool":            {"T3\nM6\nM2", "pen3", "unknown-word?:1 unknown-word?:2"},
	"our pen":         {"(weftplot:1 machine m)\n(weftplot:pen 2)\n(pen 3)\nM2", "pen2 remark:pen 3", ""},
	"no pen of ours":  {"(weftplot:pen 2)\n(weftplot:1 machine m)\nM2", "remark:weftplot:pen 2 remark:weftplot:1 machine m", ""},
	"our old pen":     {"(weftplot program for machine m)\n(pen 2)\nM2", "pen2", ""},
	"line numbers":    {"N10 G0 X1\nN20Y1\nn30m2", "T1,0 T1,1", ""},
	"percent":         {"%\nG0 X1\n%\nG0 X2", "T1,0", "after-end:4"},
	"last percent":    {"G0 X1\n%", "T1,0", ""},
	"after the end":   {"G0 X1\nM2\nG0 X9", "T1,0", "after-end:3"},
	"no end":          {"G0 X1", "T1,0", "no-end:1"},
	"deleted":         {"/G0 X1\nM2", "T1,0", "block-delete?:1"},
	"colon":           {":1234\nG0 X1\nM2", "T1,0", "o-word?:1"},
	"number and word": {"O12 G20\nG0 X1\nM2", "T1,0", "o-word?:1"},
	"number":          {"O1234\nG0 X1\nM2", "T1,0", "o-word?:1"},
	"subroutine":      {"G21\no<arm> sub (a half)\nG0 X1\nN9 O100 IF [#1 GT 2]\nM2", "remark:a half T1,0", "o-word?:2"},
	"unknown":         {"G21 G5 X3\nM77 E5\nG0 X1\nM2", "T1,0", "unknown-word?:1 unknown-word?:2 unknown-word?:2"},
	"no feed":         {"G1 Z-1\nX1\nM2", "down D1,0", "no-feed?:1"},
	"rapid draw":      {"G0 Z-1\nX1\nM2", "down D1,0", "rapid-draw!:2"},
	"other plane":     {"G18 G1 F60 Z-1\nG2 X3 Z-1 I1 K0\nM2", "down D3,0@1", "unknown-word?:1 plane?:2"},
	"aslant down":     {"Z5\nG1 F60 X5 Z-1\nM2", "T5,0 down", "no-feed?:1 aslant?:2"},
	"aslant up":       {"G1 F60 Z-1\nX5 Z5\nM2", "down up T5,0", "aslant?:2"},
	"shifted":         {"G0 X10\nG92 X0\nG0 X5\nG92.1\nX1\nM2", "T10,0 T15,0 T1,0", "unknown-word?:2 unknown-word?:4"},
	"zero length":     {"G1 F60 Z-1\nX0 Y0\nM2", "down", ""},
	"circle":          {"G1 F60 Z-1\nG3 X0 I5\nM2", "down D0,0@1", ""},
	"circle no end":   {"G1 F60 Z-1\nG3 I5\nM2", "down D0,0@1", "arc-without-end?:2"},
	"mark":            {"\xef\xbb\xbfG0 X1\r\nM2\r\n", "T1,0", ""},
	"machine":         {"(weftplot program for machine practice)\n(hello)\nM2", "remark:hello", ""},
	"cycle":           {"G81 X5 Z-1\nX9\nG80\nM2", "T5,0 down up T9,0 down up", "unknown-word?:1 no-feed?:1"},
	"cycles":          {"G91 G81 X5 R1 Z-1 L3\nG80\nM2", "T5,0 down up T10,0 down up T15,0 down up", "unknown-word?:1 no-feed?:1"},
	"probe":           {"G38.2 Z-1\nM2", "", "unknown-word?:1 no-feed?:1 motion-not-followed?:1"},
	"arc centres":     {"M3\nG1 F60 X10\nG90.1 G3 X0 Y10 I0 J0\nG91.1 G3 X-10 Y0 J-10\nM2", "down D10,0@1 D0,10@1 D-10,0@1", "unknown-word?:3"},
	"system":          {"G10 L2 P2 X100 Y50\nG55 G0 X1 Y1\nG54 X1\nG53 X2\nM2", "T101,51 T1,51 T2,51", "unknown-word?:1 unknown-word?:2 unknown-word?:4"},
	"system called":   {"G0 X10\nG10 L20 P1 X0\nG0 X5\nM2", "T10,0 T15,0", "unknown-word?:2"},
	"system not set":  {"G56 G0 X1\nM2", "T1,0", "unknown-word?:1"},
	"shift kept":      {"G0 X10\nG92 X0\nG92.2\nG0 X1\nG92.3\nG0 X1\nM2", "T10,0 T1,0 T11,0", "unknown-word?:2 unknown-word?:3 unknown-word?:5"},
	"home":            {"G0 X10 Y10\nG28\nM2", "T10,10 T0,0", "unknown-word?:2"},
	"home by":         {"M3\nG1 F60 X10\nG91 G28 Z0\nG90 G28 X5 Y5\nM2", "down D10,0@1 up T5,5 T0,0", "unknown-word?:3"},
	"home not tool":   {"G0 X10 Y10\nG28 X10\nM2", "T10,10 T0,10", "unknown-word?:2"},
	"parameters":      {"#1=15 #2=[#1*2]\nG0 X#1 Y#2\nM2", "T15,0", "computed?:1"},
	"open comment":    {"(open G0 X1\nG0 X2\nM2", "remark:open G0 X1 T2,0", "open-comment?:1"},
	"nested":          {"(a (b) c) G0 X1\nM2", "remark:a (b) c T1,0", "nested-comment?:1"},
	"checksum":        {"N1 G0 X1*55\nN2 M2*3", "T1,0", "checksum?:1"},
	"long dwell":      {"G4 P500\nM2", "wait500", "long-dwell:1"},
	"many kinds":      {"G0 X1 Q2\nQ3\nG43 H1\nM2", "T1,0", "unknown-word?:1 unknown-word?:3 unknown-word?:3"},
	// How the pen is told where the usual words do not.
	"high pen":      {"G0 Z5\nX1\nG1 Z1 F60\nX2\nG0 Z5\nX3\nM2", "T1,0 down D2,0@1 up T3,0", "pen-guessed?:0"},
	"pen up at 0":   {"G0 Z0\nX1\nG1 Z-3 F60\nX2\nG0 Z0\nX3\nM2", "T1,0 down D2,0@1 up T3,0", "pen-guessed?:0"},
	"only feeds":    {"G1 Z5 F60\nX1\nZ2\nX2\nZ5\nX3\nM2", "T1,0 down D2,0@1 up T3,0", "pen-guessed?:0"},
	"servo":         {"M3 S30\nG0 X1\nM3 S90\nG1 X2 F60\nM3 S30\nG0 X3\nM2", "T1,0 down D2,0@1 up T3,0", "pen-guessed?:0"},
	"servo turned":  {"M3 S90\nG0 X1\nS30\nG1 X2 F60\nS90\nG0 X3\nM5\nM2", "T1,0 down D2,0@1 up T3,0", "pen-guessed?:0"},
	"nothing lifts": {"G0 X1\nG1 X2 F60\nG0 X3\nM2", "T1,0 down D2,0@1 up T3,0", "pen-guessed?:0"},
	"S 0":           {"M3 S0\nG0 X1\nS9\nG1 X2 F60\nS0\nG0 X3\nM2", "T1,0 down D2,0@1 up T3,0", ""},
	"never down":    {"G0 Z5\nG1 X2 F60\nM2", "T2,0", ""},
}

func TestRead(t *testing.T) {
	for name, c := range readCases {
		p := read(t, c.text)
		if got := summary(p); got != c.want {
			t.Errorf("%s: Read(context.Background(), %q) = %s, want %s", name, c.text, got, c.want)
		}
		if got := programtest.Codes(p); got != c.notes {
			t.Errorf("%s: notes of %q = %s, want %s", name, c.text, got, c.notes)
		}
	}
	if got := read(t, "(weftplot program for machine practice)\nM2").Machine; got != "practice" {
		t.Errorf("the machine is %q", got)
	}
}

func TestReadRefuses(t *testing.T) {
	for _, text := range []string{
		"", " \n\n", "hello", "G0 X", "G0 X1 X2", "G0 G1 X1", "G17 G18", "M3 M5", "M0 M2",
		"#1", "#0=1", "#9999=1", "G0 X[1+2", "G0 X[1/0]", "G0 X#[", "G0 XSQRT[-1]", "G0 X" + strings.Repeat("[", 1000), "G81 X1",
		"G10 L2 P99 X1", "G91 G53 X1", "*55", "G0 X1*", strings.Repeat("()", 100),
		"G80 X5", "G4", "G4 P-1", "G1 F-5", "\x00", "G0 X99999999999", "IN;SP1;PA0,0;",
		"G1 F\xff", "G0 X" + strings.Repeat("1", 100),
	} {
		_, err := Read(context.Background(), "bad.gcode", []byte(text), nil)
		var bad *fault.Error
		if !errors.As(err, &bad) || bad.Kind != fault.Input {
			t.Errorf("Read(context.Background(), %q) gives %v, want a fault", text, err)
		} else if strings.TrimSpace(text) != "" && !strings.Contains(bad.Where, "line ") {
			t.Errorf("Read(context.Background(), %q) does not name the line: %v", text, err)
		}
	}
}

// TestPenLines: with a machine, its own lines make one pen move, and the dwell
// among them is part of it.
func TestPenLines(t *testing.T) {
	m := programtest.Machine(t, "gantry-servo")
	text := "M5\nG4 P0.25\nG0 X5\nM3 S90\nG4 P0.25\nG1 X6 F60\nN5 m5\ng4p0.25\nG4 P0.25\nM2\n"
	p, err := Read(context.Background(), "test", []byte(text), &m)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := summary(p), "T5,0 down D6,0@1 up wait0.25"; got != want {
		t.Errorf("with the machine: %s, want %s", got, want)
	}
	if b := p.Blocks[1]; b.Line != 4 || b.End != strings.Index(text, "G1") {
		t.Errorf("the pen move is on line %d up to %d", b.Line, b.End)
	}
	if got, want := summary(read(t, text)), "wait0.25 T5,0 down wait0.25 D6,0@1 up wait0.25 wait0.25"; got != want {
		t.Errorf("without: %s, want %s", got, want)
	}
	// Another program may have one of them by chance.
	p, err = Read(context.Background(), "test", []byte("M3 S30\nG0 X1\nM3 S90\nG4 P0.25\nG1 X2 F60\nM3 S30\nG0 X3\nM2"), &m)
	if got, want := summary(p), "T1,0 down D2,0@1 up T3,0"; err != nil || got != want {
		t.Errorf("with one of the machine's lines: %s, %v, want %s", got, err, want)
	}
	// The lines of the pen leave their marks: feed and mode.
	z := programtest.Machine(t, "practice")
	p, err = Read(context.Background(), "test", []byte("G1 Z0 F600\nX5\nM2"), &z)
	if got, want := summary(p), "down D5,0@10"; err != nil || got != want {
		t.Errorf("feed of the pen lines: %s, %v, want %s", got, err, want)
	}
}

func TestLinesAndEnds(t *testing.T) {
	text := "(a)\nG21\nG0 X1\n\nG1 Z-1 F60\nX2\nM2"
	p := read(t, text)
	want := []struct{ line, end int }{{1, 4}, {3, 14}, {5, 26}, {6, 29}}
	if len(p.Blocks) != len(want) {
		t.Fatalf("%d blocks: %s", len(p.Blocks), summary(p))
	}
	for i, b := range p.Blocks {
		if b.Line != want[i].line || b.End != want[i].end {
			t.Errorf("block %d is on line %d up to %d, want %v", i, b.Line, b.End, want[i])
		}
	}
}

// TestExamplesOfTheReport reads examples that NISTIR 6556 gives with their words
// (from memory): two of drilling in 3.5.16.1, one of G10 in 3.5.5 and one of G92
// in 3.5.18.
func TestExamplesOfTheReport(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"G0 Z3\nG0 X1 Y2\nG90 G81 G98 X4 Y5 Z1.5 R2.8\nG80\nM2", "T1,2 T4,5"}, // 1.5 mm above the cloth
		{"G0 Z3\nG0 X1 Y2\nG91 G81 G98 X4 Y5 Z-0.6 R1.8 L3\nG80\nM2", "T1,2 T5,7 down up T9,12 down up T13,17 down up"},
		{"G10 L2 P1 x 3.5 y 17.2\nG0 X0 Y0\nM2", "T3.5,17.2"},
		{"G0 X4\nG92 x7\nG0 X8\nM2", "T4,0 T5,0"}, // 7 is where 4 was, so the offset is -3
	} {
		if got := summary(read(t, c.text)); got != c.want {
			t.Errorf("Read(context.Background(), %q) = %s, want %s", c.text, got, c.want)
		}
	}
}

// TestManyNotes: a file with something odd on every line gives a few notes.
func TestManyNotes(t *testing.T) {
	if p := read(t, strings.Repeat("M77\n", 5000)+"M2\n"); len(p.Doubts) != 1 || !strings.Contains(p.Doubts[0].Message, "5000 times, last on line 5000") {
		t.Errorf("%v", p.Doubts)
	}
	var text strings.Builder
	for i := range 5000 {
		fmt.Fprintf(&text, "G%d.%d\n", 100+i/10, i%10)
	}
	if p := read(t, text.String()+"M2\n"); len(p.Doubts) > 50 || !strings.Contains(p.Doubts[len(p.Doubts)-1].Message, "more like this") {
		t.Errorf("%d doubts", len(p.Doubts))
	}
}
