package proof

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

func TestRefuses(t *testing.T) {
	nan, far := pt(math.NaN(), 0), pt(0, 1e9)
	for name, change := range map[string]func(*Scene){
		"start is no number":   func(s *Scene) { s.Start = &nan },
		"end far away":         func(s *Scene) { s.End = &far },
		"travel":               func(s *Scene) { s.Travel = []paths.Line{{A: nan, B: pt(0, 0)}} },
		"weave":                func(s *Scene) { s.Weave[3].Points = []paths.Point{pt(0, 0), pt(math.Inf(1), 0)} },
		"note":                 func(s *Scene) { s.Notes = []Note{{At: &nan}} },
		"mark":                 func(s *Scene) { s.Marks = []Mark{{Off: nan}} },
		"rug":                  func(s *Scene) { s.Rug = paths.Polyline(pt(0, 0), nan) },
		"stroke":               func(s *Scene) { s.Ink[0].Stroke = paths.Polyline(pt(0, 0), far) },
		"broken stroke":        func(s *Scene) { s.Ink[0].Stroke = paths.Stroke{paths.Line{}, paths.Line{A: pt(1, 1), B: pt(2, 2)}} },
		"arc with far centre":  func(s *Scene) { s.Ink[0].Stroke = paths.Stroke{paths.ArcAround(pt(0, 0), 1e7, 0, 3)} },
		"colour":               func(s *Scene) { s.Ink[0].Colour = "navy" },
		"colour of bad digits": func(s *Scene) { s.Ink[0].Colour = "#12345g" },
		"width":                func(s *Scene) { s.Ink[0].Width = -1 },
		"width is no number":   func(s *Scene) { s.Ink[0].Width = math.NaN() },
	} {
		s := small()
		change(&s)
		_, err := SVG(s)
		var f *fault.Error
		if !errors.As(err, &f) || f.Kind != fault.Input {
			t.Errorf("%s: %v, want a fault", name, err)
		}
		if _, err := PNG(s, 400); err == nil {
			t.Errorf("%s: drawn as pixels", name)
		}
	}
}

// TestInputKept checks that a scene is not changed by drawing it.
func TestInputKept(t *testing.T) {
	a, b := small(), small()
	if _, err := SVG(a); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, b) {
		t.Error("the scene was changed")
	}
}
