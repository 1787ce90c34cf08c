package panels

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
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
// no two have one name or one place; and the errors to expect fall below the bounds.
func TestPointsCanBeFound(t *testing.T) {
	strokes, opt := checked()
	p := divide(t, strokes, opt)
	check(t, strokes, opt, p)
	draw(t, "checked", strokes, p)
	for n := 1; n < len(p.Loads); n++ {
		for _, threads := range []bool{false, true} {
			at, err := p.Points(n, PointOptions{Threads: threads})
			if err != nil {
				t.Fatal(err)
			}
			if last := at.After[at.ForJoints-1]; !at.Enough || last.Greatest > 0.3 || last.Usual > 0.19 {
				t.Errorf("load %d: with %d points an error of %.2f is to be expected", n, at.ForJoints, last)
			}
			// About twelve for a fresh bow.
			if at.ForJoints < 6 || at.ForJoints > 16 || at.Check != at.ForJoints {
				t.Errorf("load %d: %d points for the joints, number %d to check", n, at.ForJoints, at.Check)
			}
			checkPoints(t, p, n, at)
		}
	}
}

func checkPoints(t *testing.T, p Plan, load int, at Points) {
	t.Helper()
	names, places := map[string]bool{}, map[[2]int]bool{}
	for _, q := range at.List {
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
		if strings.Contains(q.Name, "thread") != q.Thread {
			t.Errorf("load %d: %q, a thread: %v", load, q.Name, q.Thread)
		}
		if q.Thread {
			continue
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

// Points that are chosen make the joints surer than as many others.
func TestPointsBeatOthers(t *testing.T) {
	strokes, opt := checked()
	p := divide(t, strokes, opt)
	r := rand.New(rand.NewPCG(3, 4))
	for n := 1; n < len(p.Loads); n++ {
		f := finder{plan: p, load: n, opt: PointOptions{Prior: cloth.Prior{Noise: usualNoise}}}
		f.collect()
		at, err := p.Points(n, PointOptions{})
		if err != nil {
			t.Fatal(err)
		}
		plan, ok, err := f.planFor(p.placesOf(n), f.ink)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		better := 0
		for range 20 {
			if x := plan.Expect(r.Perm(len(f.ink))[:at.ForJoints]); x.Usual < at.After[at.ForJoints-1].Usual {
				better++
			}
		}
		if better > 2 {
			t.Errorf("load %d: of 20 sets of %d points %d are better", n, at.ForJoints, better)
		}
	}
}

// Ink beside the channels is not found by, and without any there are threads or none.
func TestNoInkOnTheWeave(t *testing.T) {
	var strokes []Stroke
	for v := 20.5; v < 800; v += 60 {
		strokes = append(strokes, Stroke{Stroke: paths.Polyline(pt(0.5, v), pt(300.5, v))}, Stroke{Stroke: paths.Polyline(pt(v/3, 0.5), pt(v/3, 799))})
	}
	p := divide(t, strokes, Options{Grid: grid, Width: 400, Height: 500, Lap: 2})
	if len(p.Loads) != 2 {
		t.Fatalf("%d loads", len(p.Loads))
	}
	at, err := p.Points(1, PointOptions{})
	if err != nil || len(at.List) > 0 || at.Enough {
		t.Errorf("%d points, enough: %v, %v", len(at.List), at.Enough, err)
	}
	at, err = p.Points(1, PointOptions{Threads: true})
	if err != nil || !at.Enough {
		t.Errorf("%d threads, enough: %v, %v", len(at.List), at.Enough, err)
	}
	for _, q := range at.List {
		if !q.Thread {
			t.Errorf("%q is no thread", q.Name)
		}
	}
	for _, n := range []int{-1, 2} {
		if _, err := p.Points(n, PointOptions{}); err == nil {
			t.Errorf("there is a load %d", n)
		}
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
