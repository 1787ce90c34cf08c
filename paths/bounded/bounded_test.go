package bounded

import (
	"errors"
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

func TestDefault(t *testing.T) {
	for _, given := range []float64{0, -1, math.NaN()} {
		v := given
		if Default(&v, 0.5); v != 0.5 {
			t.Errorf("%v became %v", given, v)
		}
	}
	n := 7
	if Default(&n, 3); n != 7 {
		t.Errorf("7 became %d", n)
	}
}

func TestNotesAndErrors(t *testing.T) {
	notes := []paths.Note{{Code: "b", Line: 3, Element: "path"}, {Code: "a", Line: 1, Message: "A wave."}, {Code: "c", Line: 3, Element: "g"}}
	list := InOrder(notes, 2, "And %d more.")
	if len(list) != 4 || list[0].Code != "a" || list[1].Code != "b" || list[2].Code != "c" || list[3].Message != "And 2 more." {
		t.Errorf("in order: %+v", list)
	}
	serious := InOrder([]paths.Note{{Code: "hidden", Line: 1}, {Code: "marker-not-drawn", Line: 2}, {Code: "text-not-drawn", Line: 9}, {Code: "file-damaged", Line: 4}}, 0, "")
	if serious[0].Code != "file-damaged" || serious[1].Code != "text-not-drawn" || serious[2].Code != "marker-not-drawn" || serious[3].Code != "hidden" {
		t.Errorf("the most serious first: %+v", serious)
	}
	if notes[0].Code != "b" {
		t.Error("the notes given were changed")
	}
	if f := Nothing("x.svg", "look", list, "a"); f.Do != "line 3, path: " || f.Where != "x.svg" {
		t.Errorf("nothing: %+v", f)
	}
	if f := Nothing("x.svg", "look", nil); f.Do != "look" || !errors.Is(f, fault.Input) {
		t.Errorf("nothing: %+v", f)
	}
	if f := TooLong("x.svg", 9); f.Error() != "x.svg: the file is longer than 9 bytes, the most that is read" || f.Do == "" {
		t.Errorf("too long: %v", f)
	}
}
