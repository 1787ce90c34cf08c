package panels

import (
	"context"
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

var grid = weave.Grid{Across: 2, Along: 2}

func rectangle(x0, y0, x1, y1 float64) paths.Stroke {
	return paths.Polyline(pt(x0, y0), pt(x1, y0), pt(x1, y1), pt(x0, y1), pt(x0, y0))
}

// A runner of a border and stripes on three loads.
func runner() []Stroke {
	out := []Stroke{{Stroke: rectangle(0, 0, 400, 1200), Name: "border"}, {Stroke: rectangle(20, 20, 380, 1180), Name: "border"}}
	for y := 60.; y < 1160; y += 60 {
		out = append(out, Stroke{Stroke: paths.Polyline(pt(20, y), pt(380, y)), Name: "stripes"})
	}
	for x := 60.; x < 360; x += 80 {
		out = append(out, Stroke{Stroke: paths.Polyline(pt(x, 20), pt(x, 1180)), Name: "warp"})
	}
	return append(out, Stroke{Stroke: paths.Stroke{paths.Circle(pt(200, 600), 150)}, Name: "sun"})
}

func TestRunner(t *testing.T) {
	opt := Options{Grid: grid, Width: 500, Height: 480, Lap: 2}
	p, err := Divide(context.Background(), runner(), opt)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Loads) != 3 {
		t.Fatalf("%d loads", len(p.Loads))
	}
	drawn := 0.
	for _, l := range p.Loads {
		for _, part := range l.Parts {
			drawn += part.Piece.Length()
			if !holds(l.Window, part.Piece.Bounds()) {
				t.Errorf("a part of stroke %d reaches beyond the window", part.Stroke)
			}
		}
	}
	asked := 0.
	for _, s := range runner() {
		asked += s.Length()
	}
	if d := drawn - asked - 2*float64(len(p.Joints)); math.Abs(d) > 1e-6 {
		t.Errorf("%.6f mm too much is drawn", d)
	}
	for _, j := range p.Joints {
		if !j.OnWeave {
			t.Errorf("joint %v lies off the weave", j)
		}
	}
	for n := range p.Loads {
		at, err := p.Points(n, PointOptions{Threads: true})
		if err != nil {
			t.Fatal(err)
		}
		names := map[string]bool{}
		for _, q := range at.List {
			if names[q.Name] {
				t.Errorf("load %d: two points are called %q", n, q.Name)
			}
			names[q.Name] = true
			if !q.Thread && len(p.Around(n, q.At, 5)) == 0 {
				t.Errorf("load %d: no ink round %s", n, q.Name)
			}
		}
		if !at.Enough && n > 0 {
			t.Errorf("load %d cannot be found well enough", n)
		}
	}
}
