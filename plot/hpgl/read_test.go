package hpgl

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
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

// summary sums a program up for tables, in plotter units of 0.025 mm.
func summary(p program.Program) string {
	return programtest.Summary(p, func(at paths.Point) string {
		return fmt.Sprintf("%.6g,%.6g", math.Round(at.X*4e4)/1e3+0, math.Round(at.Y*4e4)/1e3+0)
	})
}

// readCases are texts, what they do and what is noted of them.
var readCases = map[string]struct{ text, want, notes string }{
	"list":          {"IN;SP1;PU10,20;PD30,20,30,40;PU;SP0;", "pen1 T10,20 down D30,20 D30,40 up pen0", ""},
	"no semicolons": {"INSP1PU10 20PD30,20", "pen1 T10,20 down D30,20", ""},
	"small letters": {"in;pd3,4;", "down D3,4", ""},
	"signs part":    {"PD3-4+5,6", "down D3,-4 D5,6", ""},
	"relative":      {"PR10,10;PD5,0,5,0;PA0,0;", "T10,10 down D15,10 D20,10 D0,0", ""},
	// 7470A, 3-2: the whole pairs before an odd coordinate are drawn.
	"odd": {"PD1,2,3,4,5;", "down D1,2 D3,4", "odd-coordinates?:1"},
	// 7470A, 3-4: 1234.9 is 1234 and -1234.4 is -1235.
	"cut down": {"PU1234.9,-1234.4;", "T1234,-1235", ""},
	// 7470A, 3-4: out of range is an error, the point is dropped.
	"out of range": {"PR;PA40000,0;PU1,1;", "T1,1", "out-of-range!:1"},
	"dot":          {"PU5,5;PD;PU;", "T5,5 down up", ""},
	"speed":        {"VS3.8;PD1,0;VS;PD2,0;VS0;PD3,0", "down D1,0@38 D2,0 D3,0@3.8", ""},
	"arc":          {"PU100,0;PD;AA0,0,90;", "T100,0 down D0,100", ""},
	"arc clockwise": {"PU100,0;PD;AR-100,0,-90,3;",
		"T100,0 down D0,-100", ""},
	"circle":       {"PU100,0;CI50;", "T100,0 T150,0 down D150,0 up T100,0", ""},
	"circle below": {"CI-50;", "T-50,0 down D-50,0 up T0,0", ""},
	"circle down":  {"PD;CI50;", "down up T50,0 down D50,0 up T0,0 down", ""},
	"edge":         {"PU10,10;EA30,20;", "T10,10 down D30,10 D30,20 D10,20 D10,10 up", ""},
	"edge by size": {"PU10,10;ER30,20;", "T10,10 down D40,10 D40,30 D10,30 D10,10 up", ""},
	"filled":       {"RA30,20;RR1,1;", "down D30,0 D30,20 D0,20 D0,0 up down D1,0 D1,1 D0,1 D0,0 up", "filled?:1"},
	"label":        {"PU1,1;LBSP9;PD\x03PU2,2;", "T1,1 T2,2", "label?:1"},
	"terminator":   {"DT*;LBa\x03b*PU2,2;DT;LBx\x03PU3,3;", "T2,2 T3,3", "label?:1"},
	"open label":   {"PU1,1;\nLBPU2,2;", "T1,1", "label?:2 unterminated-label?:2"},
	"escapes":      {"\x1b.@;0:\x1b.N;17:\x1b.BIN;\x1b%0BPU1,1;\x1bEPU2,2;", "T1,1 T2,2", "escape?:1"},
	"handshake":    {"\x1b.H100;5;6:PU1,1;", "T1,1", "escape?:1"},
	"symbol":       {"SM*;PU1,1;SM;", "T1,1", "not-drawn?:1"},
	"unknown":      {"PU1,1;\nQQ5,6;PU2,2;", "T1,1 T2,2", "unknown-word?:2"},
	"not drawn":    {"PW0.3;PU1,1;", "T1,1", "not-drawn:1"},
	"names":        {"BP1,\"PU9,9\",5,1;PU1,1;BP2,\"a;\"PU2,2;BP;PU3,3;", "T1,1 T2,2 T3,3", ""},
	"name no end":  {"PU1,1;BP1,\"PU9,9;PU2,2;", "T1,1", "unterminated-text?:1"},
	"words no end": {"PU1,1;MG\"a;PU2,2;", "T1,1", "not-drawn:1 unterminated-text?:1"},
	"text no end":  {"PU1,1;COa PU2,2", "T1,1", "not-drawn:1 unterminated-text?:1"},
	"kept no end":  {"PU1,1;BLa;PU2,2;", "T1,1", "not-drawn:1 unterminated-text?:1"},
	"kept label":   {"BLa;PU9,9\x03PU1,1;WDPU8,8;\x03PU2,2;", "T1,1 T2,2", "not-drawn:1 not-drawn:1"},
	"wrapped":      {"\x1bE\x1b%0BINPU1,1;\x1b%0A\x1bE", "T1,1", "escape?:1 printer?:1"},
	"single quote": {"BP1,'PU9,9',2,\"it's PD\";PU1,1;CO'tis PD9,9;PU2,2;", "T1,1 T2,2", "not-drawn:1"},
	"mark":         {"\xef\xbb\xbfPU1,1;", "T1,1", ""},
	"jobs":         {"\x1b%-12345X@PJL JOB\r\n@pjl enter language=hpgl2\r\nPU1,1;\x1b%-12345X", "T1,1", "escape?:1 escape?:1"},
	// A printer starts in its own language, and its reset leads there.
	"printer first": {"\x1bE\x1b*t300RPD five\n\x1b%1BPU1,1;\x1bEPD2,2;\x1b%0BPU3,3;", "T1,1 T3,3", "escape?:1 printer?:1"},
	"reset alone":   {"\x1bEPU1,1;\x1bE PU2,2;\x1b%0A", "T1,1 T2,2", "escape?:1 printer?:1"},
	"reset, blanks": {"\x1bE\r\n\x1b%0BPU1,1;", "T1,1", "escape?:1"},
	"pause":         {"PU1,1;NR;", "T1,1 pause:the program waits here, by NR", ""},
	"scaling":       {"IP0,0,1000,1000;SC0,10,0,100;PU5,50;PD;PR1,10;", "T500,500 down D600,600", ""},
	"mirrored":      {"IP1000,0,0,1000;SC0,10,0,10;PU1,1;", "T900,100", ""},
	"no scaling":    {"IP0,0,1000,1000;SC0,10,0,10;SC;PU5,5;", "T5,5", ""},
	// 40 plotter units to the user unit make it a mm (PCL 5, SC type 2; from memory).
	"factor":        {"IP10,20;SC0,40,0,40,2;PU1,2;", "T50,100", ""},
	"isotropic":     {"IP0,0,2000,1000;SC0,10,0,10,1;PU0,0;PU10,10;", "T500,0 T1500,1000", ""},
	"unknown frame": {"SC0,10,0,10;PU1,1;", "T1250,1316", "frame-unknown?:1"},
	// 7470A, 2-9: what is outside the window is not drawn.
	"window":               {"IW0,0,10,10;PD5,5;\nPD20,20;", "down D5,5 D10,10 up", "window?:1 outside-window:2"},
	"window crossed":       {"IW10,0,20,9;PU0,5;PD30,5,30,7,0,7;PU;", "T10,5 down D20,5 up T20,7 down D10,7 up", "outside-window:1 window?:1"},
	"window not met":       {"IW10,10,20,20;PD5,5;PU;PU15,15;PD;PU;", "T15,15 down up", "outside-window:1 window?:1"},
	"window off":           {"IW10,10,20,20;IW;PD5,5;", "down D5,5", "window?:1"},
	"window in user units": {"BP;IP0,0,100,100;SC0,10,0,10;IW0,0,1,1;PD2,0;", "down D10,0 up", "outside-window:1 window?:1"},
	"reversed":             {"IW10,10,0,0;PU5,5;", "T5,5", "window?:1 reversed-window?:1"},
	// An arc from 0,0 over the point 100,100 to 200,0: half a circle about 100,0.
	"three points":     {"PD;AT100,100,200,0;", "down D200,0", ""},
	"three on a line":  {"PD;AT100,0,200,0;RT10,0,20,0;", "down D200,0 D220,0", ""},
	"three and gap":    {"PD;AT300,0,200,0;PD250,0;", "down up T200,0 down D250,0", "arc-gap?:1"},
	"three the circle": {"PD;AT100,0,0,0;PU;", "down D0,0 up", ""},
	"bezier":           {"PD;BZ0,100,100,100,100,0,1,2;", "down D100,0", "odd-coordinates?:1"},
	"bezier by size":   {"PU10,10;PD;BR0,5,5,5,5,0,0,5,5,5,5,0;", "T10,10 down D15,10 D20,10", ""},
	"edge of a wedge":  {"PU100,100;EW50,90,90;", "T100,100 down D100,150 D50,100 D100,100 up", ""},
	"wedge turned":     {"EW-50,90,90;", "down D0,-50 D50,0 D0,0 up", ""},
	"whole wedge":      {"WG50,0,360;", "T50,0 down D50,0 up T0,0", "filled?:1"},
	"polygon": {"PU10,10;PM0;PD20,10,20,20;PM2;EP;PU5,5;",
		"T10,10 down D20,10 D20,20 D10,10 up T5,5", ""},
	"polygon of parts": {"PU10,10;PM0;PD20,10,20,20;PM1;PU50,50;PD60,50;PU60,60;PM2;EP;",
		"T10,10 down D20,10 D20,20 D10,10 up T50,50 down D60,50 up T60,60 T50,50 T10,10", ""},
	"polygon filled":   {"PM0;PU10,0;PD10,10;PM2;FP;", "down D10,0 D10,10 D0,0 up", "filled?:1"},
	"circle in it":     {"PU10,10;PM0;CI5;PM2;EP;", "T10,10 T15,10 down D15,10 up T10,10", ""},
	"edge of the last": {"RA10,10;EP;", "down D10,0 D10,10 D0,10 D0,0 up down D10,0 D10,10 D0,10 D0,0 up", "filled?:1"},
	"polygon open":     {"PM0;PD5,5;EP;", "", "open-polygon?:1 open-polygon?:1"},
	"polygon wrong":    {"PM2;PM7;PU1,1;", "T1,1", "out-of-range?:1 out-of-range?:1"},
	"dashes":           {"LT2;PD5,5;LT;PD6,6;", "down D5,5 D6,6", "line-type?:1"},
	// A turn takes the origin to the lower right corner, then up it goes: the
	// common frame is 10365 wide and 7962 high.
	"turned":          {"RO90;PU100,20;", "T10345,100", "frame-unknown?:1"},
	"turned half":     {"RO180;PU100,20;", "T10265,7942", "frame-unknown?:1"},
	"turned thrice":   {"RO270;PU100,20;", "T20,7862", "frame-unknown?:1"},
	"turned and back": {"PU100,20;PD;RO90;PR10,0;RO;PR10,0;", "T100,20 down D100,30 D110,30", "frame-unknown?:1"},
	"not turned":      {"RO45;PU1,1;", "T1,1", "out-of-range?:1"},
	"by shares":       {"IR0,0,50,100;SC0,1,0,1;PU1,.5;", "T5182.5,3981", "frame-unknown?:1"},
	"picture":         {"\x1b*b7WPD99,9;\x1b%0BPU1,1;\x1b&p6XPD8,8;\x1b(s3W\nPD\x1b*b4w0WPD2,2;", "T1,1 down D2,2", "escape?:1"},
	"a picture cut":   {"PU1,1;\x1b*b70WPD9,9;", "T1,1", "escape?:1"},
	"printer":         {"\x1b%0BPU1,1;\x1b%0APU9,9;\x1b*p1X\x1b%1BPU2,2;", "T1,1 T2,2", "escape?:1 printer?:1"},
	"huge":            {"PU" + strings.Repeat("9", 400) + ",5;AA" + strings.Repeat("9", 400) + ",0,5;PU1,1;", "T1,1", "out-of-range!:1 out-of-range!:1"},
	"flat scale":      {"SC5,5,0,10;PU1,1;", "T1,1", "out-of-range?:1"},
	"kinds":           {"PW.3;UL1,5;PW.5;MG\"a;b\";MGc;PW;PU1,1;", "T1,1", "not-drawn:1 not-drawn:1 not-drawn?:1"},
	"stray":           {"PU1,1;#PU2,2;", "T1,1 T2,2", "stray?:1"},
	"coarse":          {"PU4000,0;PD;AA0,0,90;", "T4000,0 down D0,4000", "coarse-arc:1"},
	"encoded":         {"PE7<=?x?x_O]`P]`P]`;", "T400,400 down D400,1400 D-600,400", ""},
	"encoded pen":     {"PE7:c<=__aa;", "pen2 down D1,1", ""},
	"fraction":        {"PE7>e<=YPsYPs_a;", "T1315.62,1315.62 down D1315.62,1315.75", ""},
	"open":            {"PE7aa", "down D1,1", "unterminated-polyline?:1"},
	"half":            {"PE7a;PU3,3;", "T3,3", "bad-polyline?:1"},
	"bad code":        {"PE7a\x21a;", "down D1,1", "bad-polyline?:1"},
	"breaks inside":   {"PE7<=?x\n?x\n__;PU0,0;", "T400,400 down up T0,0", ""},
	"sixty-four":      {"PE<=\x47\xc2\x47\xc2\xc1\xc1;", "T100,100 down D101,101", ""},
	"eighth bit":      {"PE\xbc\xbd\x47\xc2\x47\xc2;", "T100,100", ""},
	"nothing in it":   {"PD;PE;", "down", ""},
	"printer's frame": {"\x1b%-12345X@PJL ENTER LANGUAGE=HPGL2\n\x1b%0BIN;PU1,1;", "T1,1", "escape?:1 escape?:1"},
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
}

func TestLanguage(t *testing.T) {
	two := programtest.Machine(t, "flatbed-hpgl2")
	for text, want := range map[string]string{"IN;PU1,1;": "hpgl", "IN;PE7aa;": "hpgl2", "\x1bE\x1b%0BIN;PU1,1;": "hpgl2", "\x1b.BIN;": "hpgl"} {
		if got := read(t, text).Language; got != want {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	}
	if p, _ := Read(context.Background(), "x", []byte("IN;"), &two); p.Language != "hpgl2" {
		t.Errorf("with an HP-GL/2 machine it is %s", p.Language)
	}
}

// TestUnit: a unit is 0.025 mm, 40 to the mm: 7470A, B-6. A machine's profile
// and calibration may say otherwise.
func TestUnit(t *testing.T) {
	if got := read(t, "PU40,1016;").Blocks[0].Curve.End(); got.Dist(pt(1, 25.4)) > 1e-12 {
		t.Errorf("40, 1016 units are %v mm", got)
	}
	m := programtest.Machine(t, "flatbed-hpgl")
	m.HPGL.Unit, m.Calib.Scale = 0.02488, [2]float64{1, 1.01}
	p, err := Read(context.Background(), "x", []byte("VS5;PU1000,1000;PD0,0;"), &m)
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Blocks[0].Curve.End(); got.Dist(pt(24.88, 24.88*1.01)) > 1e-9 {
		t.Errorf("1000 units are %v", got)
	}
	if got := p.Blocks[2].Feed; math.Abs(got-50.5) > 1e-9 {
		t.Errorf("5 cm/s are %v mm/s", got)
	}
}

func TestArcShape(t *testing.T) {
	arc := read(t, "PU100,0;PD;AA0,0,90;").Blocks[2].Curve.(paths.Arc)
	if arc.Centre != pt(0, 0) || math.Abs(arc.Sweep-math.Pi/2) > 1e-12 || arc.To != pt(0, 2.5) {
		t.Errorf("%+v", arc)
	}
	// Uneven scaling makes an ellipse, which still closes: PCL 5, 20-10.
	p := read(t, "IP0,0,1000,2000;SC0,10,0,10;PU5,5;CI2;")
	s := p.Strokes()[0]
	if b := s.Bounds(); !s.IsClosed() || math.Abs(b.Width()-10) > 1e-3 || math.Abs(b.Height()-20) > 1e-3 {
		t.Errorf("the ellipse is %v", s.Bounds())
	}
}

func TestReadRefuses(t *testing.T) {
	for _, text := range []string{"", "  \n", "hello world", "(a comment)\nG21 G0 X5\n", "\x89PNG\r\n\x1a\n\x00\x00", "<svg/>", "12,34"} {
		_, err := Read(context.Background(), "bad.hpgl", []byte(text), nil)
		var bad *fault.Error
		if !errors.As(err, &bad) || bad.Kind != fault.Input {
			t.Errorf("Read(context.Background(), %q) gives %v, want a fault", text, err)
		}
	}
}

func TestLinesAndEnds(t *testing.T) {
	p := read(t, "IN;\nPU10,10;\nPD20,20,\n30,30;\nPU;")
	want := []struct{ line, end int }{{2, 12}, {3, 28}, {3, 28}, {3, 28}, {5, 32}}
	for i, b := range p.Blocks {
		if b.Line != want[i].line || b.End != want[i].end {
			t.Errorf("block %d is on line %d up to %d, want %v", i, b.Line, b.End, want[i])
		}
	}
}

// TestItems: a text is divided into the same items for reading and for the wire.
func TestItems(t *testing.T) {
	for name, c := range readCases {
		items := Instructions([]byte(c.text))
		r := newReader(c.text, nil)
		var ends []int
		for r.readItem() {
			ends = append(ends, r.pos)
		}
		for _, i := range items {
			if !slices.Contains(ends, i.End) {
				t.Errorf("%s: %q is an item for the wire, and not for reading", name, c.text[i.Start:i.End])
			}
		}
	}
}
