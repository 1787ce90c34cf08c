package letters

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	_ "weftplot/paths/samecases"
	"weftplot/paths/weave"
)

// TestPoseKeepsChannels: however a text lies, its straights are where straightOf
// finds them among its strokes, its box holds them, and turned back it is the text.
func TestPoseKeepsChannels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cloth := cloths[rapid.IntRange(0, len(cloths)-1).Draw(t, "cloth")]
		pose := Pose{
			At:       weave.Place{Across: float64(rapid.IntRange(-50, 50).Draw(t, "across")), Along: float64(rapid.IntRange(-50, 50).Draw(t, "along"))},
			Quarters: rapid.IntRange(-4, 7).Draw(t, "quarters"), Mirrored: rapid.Bool().Draw(t, "mirrored"),
		}
		text, err := Set(rapid.SampledFrom([]string{"HARBOUR", "Łódź, 12", "quay"}).Draw(t, "text"), Options{
			Alphabet: alphabets()[rapid.IntRange(0, 2).Draw(t, "alphabet")], Height: rapid.IntRange(7, 16).Draw(t, "height"), Grid: pose.Grid(cloth),
		})
		if err != nil {
			t.Fatal(err)
		}
		strokes := pose.Strokes(text)
		var found []Straight
		for i, s := range strokes {
			for _, c := range s {
				if st, ok := straightOf(c, cloth); ok {
					st.Stroke = i
					found = append(found, st)
				}
			}
		}
		told := pose.Straights(text)
		if len(told) != len(found) {
			t.Fatalf("%d straights are told and %d found", len(told), len(found))
		}
		for i, s := range told {
			if f := found[i]; s.Axis != f.Axis || s.Channel != f.Channel || math.Abs(s.From-f.From) > 1e-6 || math.Abs(s.To-f.To) > 1e-6 {
				t.Fatalf("straight %d is told as %+v and found as %+v", i, s, f)
			}
		}
		for _, s := range strokes {
			for _, c := range s {
				l, ok := c.(paths.Line)
				if !ok {
					continue
				}
				p, q := cloth.PlaceOf(l.A), cloth.PlaceOf(l.B)
				if math.Abs(p.Across-q.Across) < 1e-9 && !isWhole(p.Across) || math.Abs(p.Along-q.Along) < 1e-9 && !isWhole(p.Along) {
					t.Fatalf("the line from %.4f to %.4f is in no channel", p, q)
				}
			}
		}
		lo, hi := pose.Box(text)
		if by, side := paths.RectOf(cloth.At(lo), cloth.At(hi)).Grow(1e-5).Excess(paths.BoundsOf(strokes)); by > 0 {
			t.Fatalf("a stroke sticks out of the box by %g mm on the %s", by, side)
		}
	})
}

// TestPoseReads: unmirrored and upright a pose only moves; mirrored it is the mirror
// image about the channel of its origin.
func TestPoseReads(t *testing.T) {
	text := setOf(t, "FAR", Options{Height: 9})
	if got := (Pose{}).Strokes(text); !reflect.DeepEqual(paths.BoundsOf(got), paths.BoundsOf(text.Strokes)) {
		t.Error("the pose of nothing moves a text")
	}
	for i, s := range (Pose{Mirrored: true}).Strokes(text) {
		if d := deviation.Of(s.Transform(paths.MirrorX(0)), text.Strokes[i], 0.01); d > 1e-9 {
			t.Errorf("stroke %d is %g mm off its mirror image", i, d)
		}
	}
}

// TestCheckAgreesWithSet: a text is checked as it is set.
func TestCheckAgreesWithSet(t *testing.T) {
	for _, a := range alphabets() {
		for _, text := range []string{"Harbour\n1924", "x²", "§", "שלום", "a\x07", "", "Žďár", "a\u0301\u0360"} {
			_, want := Set(text, Options{Alphabet: a, Height: 12, Grid: monks})
			if got := a.Check(text); !reflect.DeepEqual(got, want) {
				t.Errorf("%s: Check(%q) = %v, want %v", a.Name(), text, got, want)
			}
		}
	}
}
