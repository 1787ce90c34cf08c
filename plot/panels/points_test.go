package panels

import (
	"context"
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// checked is a rug of squares of sixty millimetres, on four loads.
func checked() ([]Stroke, Options) {
	var out []Stroke
	for v := 0.; v <= 840; v += 60 {
		out = append(out,
			Stroke{Stroke: paths.Polyline(pt(0, v), pt(840, v)), Name: "rows"},
			Stroke{Stroke: paths.Polyline(pt(v, 0), pt(v, 840)), Name: "columns"})
	}
	return out, Options{Grid: grid, Width: 500, Height: 500, Lap: 2}
}

func divide(t testing.TB, strokes []Stroke, opt Options) Plan {
	t.Helper()
	p, err := Divide(context.Background(), strokes, opt)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Points of ink lie where channels cross on what earlier loads drew, all within the window;
// no two have one name or one place.
func TestPointsCanBeFound(t *testing.T) {
	strokes, opt := checked()
	p := divide(t, strokes, opt)
	check(t, strokes, opt, p)
	draw(t, "checked", strokes, p)
	for n := 1; n < len(p.Loads); n++ {
		at, err := p.Findable(n)
		if err != nil {
			t.Fatal(err)
		}
		if len(at) < 6 {
			t.Errorf("load %d: %d points", n, len(at))
		}
		checkPoints(t, p, n, at)
	}
	if at, err := p.Findable(0); err != nil || len(at) > 0 {
		t.Errorf("%d points of ink before the first load, %v", len(at), err)
	}
	for _, n := range []int{-1, len(p.Loads)} {
		if _, err := p.Findable(n); err == nil {
			t.Errorf("there is a load %d", n)
		}
	}
}

func checkPoints(t *testing.T, p Plan, load int, at []Point) {
	t.Helper()
	names, places := map[string]bool{}, map[[2]int]bool{}
	for _, q := range at {
		if names[q.Name] || places[[2]int{q.Across, q.Along}] {
			t.Errorf("load %d: %q is there twice", load, q.Name)
		}
		names[q.Name], places[[2]int{q.Across, q.Along}] = true, true
		if want := p.opt.Grid.At(weave.Place{Across: float64(q.Across), Along: float64(q.Along)}); want != q.At {
			t.Errorf("load %d: %q is at %v, by its channels at %v", load, q.Name, q.At, want)
		}
		if !p.Loads[load].Window.Grow(0.2).Contains(q.At) {
			t.Errorf("load %d: %q lies outside the window", load, q.Name)
		}
		on := 0
		for _, s := range p.Around(load, q.At, 5) {
			if _, _, d := near.OnStroke(s, q.At); d < 1e-6 {
				on++
			}
		}
		if strings.Contains(q.Name, "crossing") && on < 2 || on < 1 {
			t.Errorf("load %d: %d lines of earlier loads at %q", load, on, q.Name)
		}
	}
}

// Ink beside the channels is not found by.
func TestNoInkOnTheWeave(t *testing.T) {
	var strokes []Stroke
	for v := 20.5; v < 800; v += 60 {
		strokes = append(strokes, Stroke{Stroke: paths.Polyline(pt(0.5, v), pt(300.5, v))}, Stroke{Stroke: paths.Polyline(pt(v/3, 0.5), pt(v/3, 799))})
	}
	p := divide(t, strokes, Options{Grid: grid, Width: 400, Height: 500, Lap: 2})
	if len(p.Loads) != 2 {
		t.Fatalf("%d loads", len(p.Loads))
	}
	if at, err := p.Findable(1); err != nil || len(at) > 0 {
		t.Errorf("%d points, %v", len(at), err)
	}
}

// Around returns what lies on the cloth by then, cut at the picture's edge.
func TestAround(t *testing.T) {
	strokes, opt := checked()
	p := divide(t, strokes, opt)
	at := pt(60, 60)
	if len(p.Around(0, at, 10)) != 0 {
		t.Error("there is ink before the first load")
	}
	length := 0.
	for _, s := range p.Around(len(p.Loads)-1, at, 10) {
		length += s.Length()
	}
	if math.Abs(length-40) > 1e-9 {
		t.Errorf("%g mm of ink round a crossing", length)
	}
}
