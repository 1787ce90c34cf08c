package report

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/plot/proof"
	"weftplot/profiles"
)

func practice(t interface{ Fatal(...any) }) profiles.Machine {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestBrokenLimits: the practice machine reaches 600 by 900 mm and draws at
// 40 mm/s; each text breaks what its name says.
func TestBrokenLimits(t *testing.T) {
	const head = "G21 G90\nG0 Z5\nG0 X10 Y10\nG1 Z0 F600\n"
	for name, c := range map[string]struct {
		text, want string
		marked     float64 // mm of ways marked
	}{
		"nothing": {head + "X500 F2400\nG0 Z5\nM2", "", 0},
		"at the right": {head + "X650 F2400\nX10\nG0 Z5\nM2",
			"outside-area line 5 at 650,10: line 5 leaves the reach of machine practice by 50.0 mm at the right", 100},
		"twice": {head + "X620 F2400\nX10\nX-40\nX10\nG0 Z5\nM2",
			"outside-area line 7 at -40,10: line 7 leaves the reach of machine practice by 40.0 mm at the left; " +
				"outside-area line 5 at 620,10: line 5 leaves the reach of machine practice by 20.0 mm at the right", 120},
		// A half circle about 300,890 from 280 to 320, 20 mm high: above 900 it is
		// 2·acos(1/2)·20 long.
		"an arc": {"G21\nG0 Z5\nG0 X280 Y890\nG1 Z0 F600\nG2 X320 I20 F1200\nG0 Z5\nM2",
			"outside-area line 5 at 300,910: line 5 leaves the reach of machine practice by 10.0 mm at the top", 41.888},
		"pen up": {"G21\nG0 Z5\nG0 X700\nX0\nM2",
			"outside-area line 3 at 700,0: line 3 leaves the reach of machine practice by 100.0 mm at the right, pen up", 200},
		"too fast": {head + "X100 F2400\nY100 F3000\nX10 F6000\nY10 F2400\nG0 Z5\nM2",
			"feed-too-fast line 7 at 100,100: line 7 asks for 100 mm/s; machine practice draws at 40 mm/s at most", 180},
		"travel too fast": {"G21\nG0 Z5\nG1 X100 F60000\nM2",
			"feed-too-fast line 3 at 0,0: line 3 asks for 1000 mm/s; machine practice travels at 120 mm/s at most", 100},
		"waits":   {head + "X100 F2400\nM0\nG0 Z5\nM2", "pen-rests-down line 6 at 100,10: line 6 waits with the pen down: ink spreads where a tip rests", 0},
		"settles": {head + "G4 P0.3\nX100 F2400\nG0 Z5\nM2", "", 0},
		"dwells":  {head + "X100 F2400\nG4 P3\nG0 Z5\nM2", "pen-rests-down line 6 at 100,10: line 6 waits with the pen down: ink spreads where a tip rests", 0},
		"ends":    {head + "X100 F2400\nM2", "pen-rests-down line 5 at 100,10: the program ends with the pen down: ink spreads where a tip rests", 0},
	} {
		m := practice(t)
		p, err := language.ReadAny(name, []byte(c.text), nil)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		var marked float64
		for _, b := range BrokenLimits(p, m) {
			got = append(got, fmt.Sprintf("%s line %d at %.0f,%.0f: %s", b.Code, b.Line, b.At.X, b.At.Y, b.Message))
			marked += paths.LengthOf(b.Parts)
		}
		if text := strings.Join(got, "; "); text != c.want {
			t.Errorf("%s: %s, want %s", name, text, c.want)
		}
		if math.Abs(marked-c.marked) > 0.2 { // a step to spare
			t.Errorf("%s: %.3f mm are marked, want %.3f", name, marked, c.marked)
		}
	}
}

// TestManyPlaces: a program that leaves the reach again and again names the
// worst places and counts the rest, and marks them all.
func TestManyPlaces(t *testing.T) {
	var text strings.Builder
	text.WriteString("G21\nG0 Z5\nG0 X590 Y5\nG1 Z0 F600\n")
	for i := range 30 {
		fmt.Fprintf(&text, "X%d\nX590\nY%d\n", 610+i, 5+i)
	}
	text.WriteString("G0 Z5\nM2\n")
	p, err := language.ReadAny("many", []byte(text.String()), nil)
	if err != nil {
		t.Fatal(err)
	}
	broken := BrokenLimits(p, practice(t))
	if len(broken) != maxPlaces || !strings.Contains(broken[0].Message, "39.0 mm") || !strings.Contains(broken[maxPlaces-1].Message, "so do 22 places more, by less") {
		t.Fatalf("%d limits, the last %q", len(broken), broken[len(broken)-1].Message)
	}
	marked := 0
	for _, b := range broken {
		marked += len(b.Parts)
	}
	if marked != 30 {
		t.Errorf("%d places are marked", marked)
	}
}

// TestReviewShowsAll: for any program within reach the shades of speed make up
// all that is drawn, every stroke is numbered in order, and a part has the sums
// of what it holds.
func TestReviewShowsAll(t *testing.T) {
	m := practice(t)
	pen, err := profiles.PenNamed("fine-marker")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		strokes := programtest.Strokes(paths.Point{X: 300, Y: 400}).Draw(t, "strokes")
		p := program.Program{Language: "gcode", Blocks: programtest.Blocks(rapid.Float64Range(0.1, 80).Draw(t, "feed"), strokes...)}
		n := rapid.IntRange(1, len(strokes)).Draw(t, "stroke")
		r, err := NewReview(p, m, program.Part{From: n, To: n})
		if err != nil {
			t.Fatal(err)
		}
		want := strokes[n-1].Length()
		s := r.Scene("any", pen)
		var shaded float64
		for _, pace := range s.Paces {
			shaded += paths.LengthOf(pace.Strokes)
		}
		if off := 1e-6 * (1 + want); r.Summary.Strokes != 1 || math.Abs(r.Summary.DrawMM-want) > 1e-4+off || len(s.Paces) > 0 && math.Abs(shaded-want) > off {
			t.Fatalf("stroke %d of %v mm: %+v, %v mm shaded", n, want, r.Summary, shaded)
		}
		if len(s.Ink) != 1 || s.Ink[0].Number != n {
			t.Fatalf("stroke %d is shown as %+v", n, s.Ink)
		}
		if r.Summary.MaxSpeed > float64(m.Speed.Draw)*(1+1e-9) {
			t.Fatalf("the speed reached is %v", r.Summary.MaxSpeed)
		}
	})
}

func TestPaceStep(t *testing.T) {
	for _, c := range []struct{ speed, want float64 }{
		{0, 0}, {math.NaN(), 0}, {1, 0.2}, {5, 1}, {5.1, 2}, {10, 2}, {10.1, 5}, {25, 5}, {40, 10}, {50, 10}, {51, 20}, {120, 50}, {381, 100}, {501, 200},
	} {
		if got := paceStep(c.speed); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("paceStep(%v) = %v, want %v", c.speed, got, c.want)
		}
		if c.want > 0 && math.Ceil(c.speed/paceStep(c.speed)-1e-9) > maxPaces {
			t.Errorf("%v mm/s takes more than %d shades", c.speed, maxPaces)
		}
	}
}

// TestWildPrograms: coordinates of any size leave a picture that can be drawn.
func TestWildPrograms(t *testing.T) {
	pen, err := profiles.PenNamed("fine-marker")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.OneOf(rapid.Float64Range(-9e6, 9e6), rapid.Float64Range(0, 600))
		text := "G21\nM3\n"
		for range rapid.IntRange(1, 8).Draw(t, "moves") {
			x, y := coordinate.Draw(t, "x"), coordinate.Draw(t, "y")
			text += rapid.SampledFrom([]string{"G0 ", "G1 F1000 "}).Draw(t, "g") + fmt.Sprintf("X%.3f Y%.3f\n", x, y)
			text += fmt.Sprintf("G3 X%.3f Y%.3f I%.3f J%.3f\n", x, y, coordinate.Draw(t, "i"), coordinate.Draw(t, "j"))
		}
		p, err := language.ReadAny("wild", []byte(text+"M5\nM2\n"), nil)
		if err != nil {
			t.Fatal(err)
		}
		r, err := NewReview(p, practice(t), program.Part{})
		if err != nil {
			t.Fatal(err)
		}
		s := r.Scene("wild", pen)
		for _, k := range s.Ink {
			if b := k.Stroke.Bounds(); !(b.Width() <= 1501 && b.Height() <= 1801) {
				t.Fatalf("ink of %v", b)
			}
		}
		if _, err := proof.SVG(s); err != nil {
			t.Fatal(err)
		}
	})
}

// The picture says which side is drawn where the program does.
func TestSideSaid(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"(drawn: back of the rug, mirrored)\nG21 G90\nG0 X1 Y1\n", "says: back of the rug, mirrored"},
		{"(a sign)\nG21 G90\nG0 X1 Y1\n", "does not say which side"},
	} {
		p, err := language.ReadAny("p.gcode", []byte(c.text), nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := sideSaid(p); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q %s, want %s", c.text, got, c.want)
		}
	}
}
