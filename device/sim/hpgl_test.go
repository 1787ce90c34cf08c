package sim

import (
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/profiles"
)

func plotter(t testing.TB, language profiles.Language) *HPGL {
	m := machine(t, "flatbed-hpgl2")
	m.Language = language
	m.HPGL.Unit = 0.025
	return NewHPGL(m)
}

// units returns the vertices of what was drawn, in plotter units.
func units(c Cloth) [][]paths.Point {
	var out [][]paths.Point
	for _, s := range c.Strokes() {
		var pts []paths.Point
		for _, p := range s.Flatten(0.01) {
			pts = append(pts, paths.Point{X: math.Round(p.X / 0.025), Y: math.Round(p.Y / 0.025)})
		}
		out = append(out, pts)
	}
	return out
}

func same(got [][]paths.Point, want ...[]paths.Point) bool {
	if len(got) != len(want) {
		return false
	}
	for i := range want {
		if len(got[i]) != len(want[i]) {
			return false
		}
		for k := range want[i] {
			if got[i][k] != want[i][k] {
				return false
			}
		}
	}
	return true
}

// HP 7470A Interfacing and Programming Manual, pages 3-2 to 3-9: coordinates are
// truncated toward minus infinity, an odd one out is an error but the pairs
// before it are drawn.
func TestHPGLMoves(t *testing.T) {
	for text, want := range map[string][]paths.Point{
		"PU100,100;PD200,100,200,200;PU;":                   {{X: 100, Y: 100}, {X: 200, Y: 100}, {X: 200, Y: 200}},
		"PU100,100PD200,100PR0,100PU":                       {{X: 100, Y: 100}, {X: 200, Y: 100}, {X: 200, Y: 200}},
		"PA100 100;PD;PA1234.9,200;PU;":                     {{X: 100, Y: 100}, {X: 1234, Y: 200}},
		"PU100,5000;PD;PR0,-1234.4;PU;":                     {{X: 100, Y: 5000}, {X: 100, Y: 3765}},
		"PU100,100;PD200,100,7;PU;":                         {{X: 100, Y: 100}, {X: 200, Y: 100}},
		"PU0,0;PD100,0;PD40000,5;PD100,100;PU;":             {{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 100, Y: 100}},
		"LBPD900,900;\x03PU100,100;PD200,100;PU;":           {{X: 100, Y: 100}, {X: 200, Y: 100}},
		"SC0,100,0,200;IP0,0,1000,1000;PU10,20;PD20,20;PU;": {{X: 100, Y: 100}, {X: 200, Y: 100}},
	} {
		p := plotter(t, profiles.HPGL)
		talk(p, text)
		if got := units(p.Cloth()); !same(got, want) {
			t.Errorf("%s drew %v, want %v", text, got, want)
		}
	}
}

// The same manual, page 1-13 for errors, 7-8 for the status after power-up.
func TestHPGLAnswers(t *testing.T) {
	for text, want := range map[string]string{
		"OE;":                "0\r",
		"XX;OE;OE;":          "1\r0\r",
		"PD1;PU;OE;":         "2\r",
		"PU40000,0;OE;":      "3\r",
		"OS;":                "24\r",
		"OF;":                "40,40\r",
		"PU100,200;OA;":      "100,200,0\r",
		"\x1b.B":             "1024\r",
		"\x1b.L":             "1024\r",
		"\x1b.O":             "8\r",
		"\x1b.E":             "0\r",
		"\x1b.X\x1b.E":       "11\r",
		"\x05":               "\x06", // the dummy handshake: page 10-30
		"\x1b.H100;5;6:\x05": "\x06", // page 10-21
	} {
		if got := talk(plotter(t, profiles.HPGL), text); got != want {
			t.Errorf("%q: said %q, want %q", text, got, want)
		}
	}
}

// An enquiry is answered when there is room for a block, and Xoff and Xon are
// sent at their levels: page 10-20.
func TestHandshakes(t *testing.T) {
	slow := "PU0,0;PD30000,30000;" + strings.Repeat("PD0,0;PD900,900;", 200)
	p := plotter(t, profiles.HPGL)
	said := ""
	feed := func(text string) {
		for _, b := range []byte(text) {
			p.Receive(0, b)
			said += string(p.Output())
		}
	}
	feed("\x1b.H600;5;6:" + slow[:700] + "\x05")
	if said != "" {
		t.Errorf("an enquiry was answered with too little room: %q", said)
	}
	for p.Next() < 1e6 {
		p.Advance(p.Next())
	}
	if said += string(p.Output()); said != "\x06" {
		t.Errorf("the enquiry was answered %q", said)
	}
	p, said = plotter(t, profiles.HPGL), ""
	feed("\x1b.I80;;17:\x1b.N;19:" + slow[:1110])
	if said != "\x13" {
		t.Errorf("near the end of the buffer it said %q", said)
	}
	for p.Next() < 1e6 {
		p.Advance(p.Next())
	}
	if said += string(p.Output()); said != "\x13\x11" {
		t.Errorf("in all it said %q", said)
	}
	if n := p.Cloth().Overruns; n != 0 {
		t.Errorf("%d overruns", n)
	}
}

// PCL 5 Printer Language Technical Reference Manual, part II, page 20-34 on:
// pen up to (400, 400), then relative by (0, 1000) and (-1000, -1000).
func TestEncodedPolyline(t *testing.T) {
	p := plotter(t, profiles.HPGL2)
	p.m.Origin = "centre"
	talk(p, "IN;PE7<=?x?x_O]`P]`P]`;PU;")
	if got := units(p.Cloth()); !same(got, []paths.Point{{X: 400, Y: 400}, {X: 400, Y: 1400}, {X: -600, Y: 400}}) {
		t.Errorf("drew %v", got)
	}
	// 10525 and -10525 in base 64 and base 32: the manual's worked example.
	for text, x := range map[string]float64{
		"PE<=\x79\x47\xc4\xbf\xbf\xbf;":    10525,
		"PE<=\x7a\x47\xc4\xbf\xbf\xbf;PU;": -10525,
		"PE7<=YPs_;":                       10525,
		"PE7<=ZPs_;":                       -10525,
		"PE7>c<=?`_;":                      16. / 4,
	} {
		p := plotter(t, profiles.HPGL2)
		p.m.Origin = "centre"
		p.m.Area = [2]paths.Length{2000, 2000}
		talk(p, "IN;"+text)
		if got := p.h.at.X; got != x {
			t.Errorf("%q went to x = %g, want %g", text, got, x)
		}
	}
}

// AA draws chords of 5 degrees: page 3-17; at 100 mm they are 0.0952 mm off.
func TestChords(t *testing.T) {
	p := plotter(t, profiles.HPGL)
	talk(p, "PU12000,8000;PD;AA8000,8000,360;PU;")
	s := p.Cloth().Strokes()
	if len(s) != 1 || len(s[0]) != 72 || !s[0].IsClosed() {
		t.Fatalf("drew %d strokes", len(s))
	}
	circle := paths.Stroke{paths.Circle(paths.Point{X: 200, Y: 200}, 100)}
	if d := deviation.Of(circle, s[0], 1e-4); math.Abs(d-0.0952) > 0.0005 {
		t.Errorf("the chords are %.4f mm off", d)
	}
}
