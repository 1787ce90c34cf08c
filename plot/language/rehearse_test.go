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
)

// TestWithoutPen: the rehearsal of any program, on any machine, goes as far as
// the program does with the pen up throughout, and its text says so when it is
// read again.
func TestWithoutPen(t *testing.T) {
	all := machines(t)
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(all).Draw(t, "machine")
		l, err := language.Of(m.Language)
		if err != nil {
			t.Fatal(err)
		}
		p, _, err := language.Rewrite(someProgram(t), m)
		if err != nil {
			t.Fatal(err)
		}
		_, up, err := l.WithoutPen(p, m)
		if err != nil {
			t.Fatal(err)
		}
		back, err := l.Read(context.Background(), "rehearsal", up, &m)
		if err != nil {
			t.Fatal(err)
		}
		// Bends are travelled as chords of 0.2 mm, which are shorter.
		got, want := program.Total(back), program.Total(p)
		if all := want.DrawMM + want.TravelMM; got.Strokes > 0 || math.Abs(got.TravelMM-all) > 0.05*all+2 {
			t.Fatalf("%d strokes, %v mm of travel, want none and %v, in\n%s", got.Strokes, got.TravelMM, all, up)
		}
	})
}

// TestWithoutPenIsWrittenAnew: nothing of a program's own text is in its rehearsal,
// whatever stands there, and its feeds are kept.
func TestWithoutPenIsWrittenAnew(t *testing.T) {
	m := machine(t, "practice") // it lowers the pen by Z
	l := of(t, m)
	for _, text := range []string{
		"G21 G90\nG0 Z5\nG0 X10\nG1 Z0 F600\nG1 X60 F1200 (hem)\nM0\nG0 Z5\nM2\n",
		"G21 G90\nG0 Z5\nM104 S200\nG0 X10\nG1 X20 Z0 F600\nG1 X60 F1200\nG0 Z5\nM2\n",
	} {
		p, err := l.Read(context.Background(), "test", []byte(text), &m)
		if err != nil {
			t.Fatal(err)
		}
		up, got, err := l.WithoutPen(p, m)
		if err != nil {
			t.Fatal(err)
		}
		if total := program.Total(up); total.Strokes > 0 || math.Abs(total.TravelMM-60) > 0.1 {
			t.Errorf("%q becomes %q: %+v", text, got, total)
		}
		for _, word := range []string{"M104", "Z0", "M0"} {
			if strings.Contains(string(got), word) {
				t.Errorf("%q becomes %q, with %s", text, got, word)
			}
		}
		if !strings.Contains(string(got), "X60Y0F1200\n") {
			t.Errorf("%q becomes %q, without its feed", text, got)
		}
	}
}

// TestWithoutPenIsProven: where the lines of a profile lower what they should lift,
// no rehearsal is given out.
func TestWithoutPenIsProven(t *testing.T) {
	m := machine(t, "practice")
	p := program.Program{Blocks: []program.Block{{Kind: program.Travel, Curve: paths.Line{B: paths.Point{X: 9}}}}}
	if _, _, err := of(t, m).WithoutPen(p, m); err != nil {
		t.Fatal(err)
	}
	m.Lift.Up = m.Lift.Down
	if _, text, err := of(t, m).WithoutPen(p, m); err == nil {
		t.Errorf("a rehearsal with the pen down is %q", text)
	}
}

// TestEdge: once round what is drawn, pen up, and to the park.
func TestEdge(t *testing.T) {
	m := machine(t, "practice")
	m.Park = [2]paths.Length{3, 4}
	line := paths.Line{A: paths.Point{X: 10, Y: 40}, B: paths.Point{X: 30, Y: 20}}
	p, err := language.Edge(program.Program{Blocks: []program.Block{
		{Kind: program.Travel, Curve: paths.Line{B: line.A}}, {Kind: program.Draw, Curve: line},
	}}, m)
	if err != nil {
		t.Fatal(err)
	}
	total := program.Total(p)
	if total.Strokes > 0 || total.Reach.Max != (paths.Point{X: 30, Y: 40}) || p.Blocks[len(p.Blocks)-1].Curve.End() != m.ParkAt() {
		t.Errorf("the edge is %+v", p.Blocks)
	}
	if _, err := language.Edge(program.Program{}, m); !errors.Is(err, fault.Input) {
		t.Errorf("nothing has the edge %v", err)
	}
}

// TestHeights: where Z stands after each line that moves it, and none where a
// move over the cloth moves it too.
func TestHeights(t *testing.T) {
	m := machine(t, "practice")
	l := of(t, m)
	text := "G21\nG0 Z5\nG0 X10\nG1 Z-.5 F600 (Z9)\nG1 X20\nG0 Z5\nM2\n"
	p, err := l.Read(context.Background(), "test", []byte(text), &m)
	if err != nil {
		t.Fatal(err)
	}
	h := l.Heights(p, []byte(text))
	if len(h) != 3 {
		t.Fatalf("the heights are %v", h)
	}
	if _, known := h.At(4); known {
		t.Error("a height is known before any is said")
	}
	drawn := strings.Index(text, "G1 X20")
	if at, known := h.At(drawn); !known || at.Z != -0.5 || !at.Is(-0.45) || at.Is(-0.3) || at.End != drawn {
		t.Errorf("while it is drawn the height is %v, %v", at, known)
	}
	slanted := strings.Replace(text, "G0 X10", "G0 X10 Z4", 1)
	if p, err = l.Read(context.Background(), "test", []byte(slanted), &m); err != nil {
		t.Fatal(err)
	}
	if h := l.Heights(p, []byte(slanted)); h != nil {
		t.Errorf("moves aslant have the heights %v", h)
	}
	if z, ok := language.LastZ([]byte("G0 Z5\nG0 z -1.25 ; Z7")); !ok || z != -1.25 {
		t.Errorf("the last Z is %v, %v", z, ok)
	}
}
