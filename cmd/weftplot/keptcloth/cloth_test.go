package keptcloth

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
)

func segment(x0, y0, x1, y1 float64) paths.Stroke {
	return paths.Polyline(paths.Point{X: x0, Y: y0}, paths.Point{X: x1, Y: y1})
}

// What was drawn before the program ended lies on the cloth when it is opened
// again; a line that was not written to its end is no stroke.
func TestClothOutlivesTheProgram(t *testing.T) {
	file := filepath.Join(t.TempDir(), "plot.gcode.cloth")
	c, err := New(file)
	if err != nil {
		t.Fatal(err)
	}
	circle := paths.Stroke{paths.Circle(paths.Point{X: 50, Y: 50}, 20)}
	first := []paths.Stroke{segment(0, 0, 100, 0), circle}
	for n := range first { // one more each time
		if err := c.Keep(first[:n+1]); err != nil {
			t.Fatal(err)
		}
	}
	f, err := os.OpenFile(file, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	f.WriteString(`[{"line":{"A":{"X":`)
	f.Close()
	again, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	if len(again.before) != 2 || math.Abs(again.before[1].Length()-circle.Length()) > 1e-9 {
		t.Fatalf("the cloth has %d strokes", len(again.before))
	}
	second := []paths.Stroke{segment(0, 10, 100, 10)}
	if err := again.Keep(second); err != nil {
		t.Fatal(err)
	}
	if said, _ := again.Compare(append(first, second...), second, 0.05); !strings.Contains(said, "all 3 lines lie as asked") {
		t.Error(said)
	}
	third, err := Open(file)
	if err != nil || len(third.before) != 3 {
		t.Errorf("%d strokes after the second run, %v", len(third.before), err)
	}
}

func TestPartsCoverALine(t *testing.T) {
	want := []paths.Stroke{segment(0, 0, 100, 0), segment(0, 10, 100, 10)}
	for _, c := range []struct {
		name string
		got  []paths.Stroke
		says string
	}{
		{"in parts that overlap", []paths.Stroke{segment(0, 0, 60, 0), segment(55, 0, 100, 0), segment(0, 10, 100, 10)}, "all 2 lines lie as asked, some in parts"},
		{"with a gap", []paths.Stroke{segment(0, 0, 55, 0), segment(60, 0, 100, 0), segment(0, 10, 100, 10)}, "1 are not all there, and 0"},
		{"one not drawn", []paths.Stroke{segment(0, 0, 100, 0)}, "1 are not all there, and 0"},
		{"one too many", append([]paths.Stroke{segment(0, 5, 100, 5)}, want...), "0 are not all there, and 1"},
	} {
		if said, _ := (&Cloth{before: c.got}).Compare(want, nil, 0.05); !strings.Contains(said, c.says) {
			t.Errorf("%s: %s", c.name, said)
		}
	}
}
