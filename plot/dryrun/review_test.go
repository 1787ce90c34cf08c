package dryrun

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
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
		r, err := New(p, m, program.Part{From: n, To: n})
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
		p, err := language.ReadAny(context.Background(), "wild", []byte(text+"M5\nM2\n"), nil)
		if err != nil {
			t.Fatal(err)
		}
		r, err := New(p, practice(t), program.Part{})
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
		p, err := language.ReadAny(context.Background(), "p.gcode", []byte(c.text), nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := sideSaid(p); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q %s, want %s", c.text, got, c.want)
		}
	}
}
