package weave

import (
	"errors"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

var monks = Grid{Across: 25.4 / 12, Along: 25.4 / 13} // rug monk's cloth, as sellers state it (common practice)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// Leaving four rows empty puts the next line in the fifth channel (common
// practice among rug makers).
func TestBorder(t *testing.T) {
	strokes, fixed, inset, err := Border(288, 312, []int{4, 1}, monks)
	if err != nil {
		t.Fatal(err)
	}
	if len(strokes) != 3 || len(fixed) != 12 || inset != 7 {
		t.Fatalf("%d strokes, %d fixed lines, inset %d; want 3, 12, 7", len(strokes), len(fixed), inset)
	}
	for i, in := range []float64{0, 5, 7} {
		want := paths.RectOf(monks.At(Place{in, in}), monks.At(Place{288 - in, 312 - in}))
		if got := strokes[i].Bounds(); got != want || !strokes[i].IsClosed() {
			t.Errorf("line %d has bounds %v, want %v", i, got, want)
		}
	}
	for _, f := range fixed {
		n := map[Axis]int{Across: 288, Along: 312}[f.Axis]
		if f.Channel > 7 && f.Channel < n-7 {
			t.Errorf("%+v is no side of the border", f)
		}
	}
}

func TestBorderRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		nx, ny int
		rows   []int
		kind   fault.Kind
	}{
		"wider than the rug": {40, 60, []int{9, 9}, fault.Fit},
		"a wild number":      {40, 60, []int{1 << 62, 1 << 62}, fault.Fit},
		"negative":           {40, 60, []int{-1}, fault.Input},
		"small rug":          {9, 60, nil, fault.Fit},
	} {
		_, _, _, err := Border(c.nx, c.ny, c.rows, monks)
		var f *fault.Error
		if !errors.As(err, &f) || f.Kind != c.kind {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, _, inset, err := Border(40, 60, []int{18}, monks); err != nil || inset != 19 {
		t.Errorf("a border with two channels left: %d, %v", inset, err)
	}
}

func TestGrid(t *testing.T) {
	c, err := paths.ParseCount("12x13/in")
	if err != nil {
		t.Fatal(err)
	}
	g, err := NewGrid(c)
	if err != nil {
		t.Fatal(err)
	}
	if p := g.At(Place{12, 13}); p.Dist(pt(25.4, 25.4)) > 1e-12 {
		t.Errorf("12 and 13 channels end at %v", p)
	}
	for _, bad := range []paths.Count{{}, {Across: -1, Along: 1}, {Across: 1, Along: 100}} {
		if _, err := NewGrid(bad); err == nil {
			t.Errorf("NewGrid(%v) is not refused", bad)
		}
	}
}
