package language

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/profiles"
)

func practice(t testing.TB) profiles.Machine {
	t.Helper()
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestBroken: the practice machine reaches 600 by 900 mm and draws at
// 40 mm/s; each text breaks what its name says.
func TestBroken(t *testing.T) {
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
		"ends":    {head + "X100 F2400\nM2", "", 0},
	} {
		m := practice(t)
		p, err := ReadAny(context.Background(), name, []byte(c.text), nil)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		var marked float64
		for _, b := range Judge(p, m).Broken {
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
	p, err := ReadAny(context.Background(), "many", []byte(text.String()), nil)
	if err != nil {
		t.Fatal(err)
	}
	broken := Judge(p, practice(t)).Broken
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
