package panels

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

func TestDivide(t *testing.T) {
	line := func(x0, y0, x1, y1 float64) paths.Stroke { return paths.Polyline(pt(x0, y0), pt(x1, y1)) }
	word := func(s paths.Stroke) Stroke { return Stroke{Stroke: s, Word: 1} }
	ring := paths.Stroke{paths.Circle(pt(100, 100), 100)}
	for _, c := range []struct {
		name          string
		strokes       []Stroke
		width, height float64
		loads, cuts   int
		joints        int
	}{
		{"nothing", nil, 100, 100, 0, 0, 0},
		{"an empty stroke", plain(paths.Stroke{}), 100, 100, 0, 0, 0},
		{"a dot", plain(paths.Polyline(pt(7, 7))), 100, 100, 1, 0, 0},
		{"all in one", plain(line(0, 0, 100, 100), ring), 200, 200, 1, 0, 0},
		{"two lines far apart", plain(line(0, 0, 50, 0), line(300, 0, 350, 0)), 100, 100, 2, 0, 0},
		{"one line cut", plain(line(0, 0, 198, 0)), 100, 100, 2, 1, 1},
		{"a hair longer", plain(line(0, 0, 198.1, 0)), 100, 100, 3, 1, 2},
		{"cut at its ends only", plain(line(0, 0, 60, 0), line(60, 0, 120, 0)), 100, 100, 2, 0, 0},
		{"a slanting line", plain(line(0, 0, 150, 150)), 100, 100, 2, 1, 1},
		{"a ring in halves", plain(ring), 200, 101, 2, 1, 2},
		{"a ring in four", plain(ring), 101, 101, 4, 1, 4},
		{"a corner needs no load of its own", plain(paths.Polyline(pt(0, 0), pt(150, 0), pt(150, 90))), 100, 100, 2, 1, 1},
		{"a frame with nothing within", plain(rectangle(0, 0, 280, 280)), 100, 100, 8, 1, 8},
		{"a word across the middle", []Stroke{{Stroke: line(0, 0, 190, 0)}, word(line(60, 10, 90, 10)), word(line(100, 10, 140, 10))}, 100, 100, 3, 1, 1},
		{"a word that just fits", []Stroke{{Stroke: line(0, 0, 190, 0)}, word(line(0, 10, 50, 10)), word(line(60, 10, 100, 10))}, 100, 100, 2, 1, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			opt := Options{Grid: grid, Width: c.width, Height: c.height, Lap: 2}
			p := divide(t, c.strokes, opt)
			check(t, c.strokes, opt, p)
			if len(p.Loads) != c.loads || p.Cuts != c.cuts || len(p.Joints) != c.joints {
				t.Errorf("%d loads, %d strokes cut, %d joints; want %d, %d, %d", len(p.Loads), p.Cuts, len(p.Joints), c.loads, c.cuts, c.joints)
			}
		})
	}
}

// Where a stroke can be cut in several places, it is where a joint shows least.
func TestWhereStrokesAreCut(t *testing.T) {
	// A stroke that climbs for 150 mm in a window of 100: some is held by both loads.
	slant := paths.Line{A: pt(1, 0), B: pt(3, 70)}
	straight := paths.Line{A: pt(3, 70), B: pt(3.5, 80)}
	for _, c := range []struct {
		name    string
		strokes []Stroke
		at      func(paths.Point) bool
	}{
		{"a corner", plain(paths.Polyline(pt(0, 0), pt(0, 66), pt(20, 66), pt(20, 150))),
			func(p paths.Point) bool { return p == pt(0, 66) || p == pt(20, 66) }},
		{"a crossing", plain(paths.Polyline(pt(0, 0), pt(0, 150)), paths.Polyline(pt(-20, 80), pt(20, 80))),
			func(p paths.Point) bool { return p.Dist(pt(0, 80)) < 1e-6 }},
		{"a channel before a slant", plain(paths.Stroke{slant, straight, paths.Line{A: straight.B, B: pt(4, 88)}, paths.Line{A: pt(4, 88), B: pt(4, 150)}}),
			func(p paths.Point) bool { return p.X == 4 }},
		{"a line before a curve", plain(paths.Stroke{paths.Line{A: pt(1, 0), B: pt(1.5, 60)}, paths.ArcBulge(pt(1.5, 60), pt(1.5, 95), 0.1), paths.Line{A: pt(1.5, 95), B: pt(1.5, 150)}}),
			func(p paths.Point) bool { return p.Y <= 60 || p.Y >= 95 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			opt := Options{Grid: grid, Width: 100, Height: 100, Lap: 2}
			p := divide(t, c.strokes, opt)
			check(t, c.strokes, opt, p)
			if len(p.Joints) != 1 || !c.at(p.Joints[0].At) {
				t.Errorf("joints %+v", p.Joints)
			}
		})
	}
}

func TestRefusals(t *testing.T) {
	line := plain(paths.Polyline(pt(0, 0), pt(300, 0)))
	good := Options{Grid: grid, Width: 100, Height: 100, Lap: 2}
	for _, c := range []struct {
		name    string
		strokes []Stroke
		change  func(*Options)
		kind    error
		says    string
	}{
		{"no weave", line, func(o *Options) { o.Grid.Across = 0 }, fault.Input, "count"},
		{"no width", line, func(o *Options) { o.Width = math.NaN() }, fault.Input, "length"},
		{"a lap below zero", line, func(o *Options) { o.Lap = -1 }, fault.Input, "length"},
		{"a lap without end", line, func(o *Options) { o.Lap = math.Inf(1) }, fault.Input, "length"},
		{"a lap as long as a load", line, func(o *Options) { o.Lap = 60 }, fault.Fit, "lap"},
		{"a word larger than a load", []Stroke{{Stroke: line[0].Stroke, Word: 3}}, func(*Options) {}, fault.Fit, "no word is cut"},
	} {
		opt := good
		c.change(&opt)
		_, err := Divide(context.Background(), c.strokes, opt)
		if !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Divide(ctx, line, good); !errors.Is(err, context.Canceled) {
		t.Errorf("a plan that is no longer wanted: %v", err)
	}
}

// The same drawing has the same plan.
func TestDivideIsDeterministic(t *testing.T) {
	strokes := medley(rand.New(rand.NewPCG(5, 5)), 600, 600, 60)
	opt := Options{Grid: grid, Width: 300, Height: 250, Lap: 2}
	first := divide(t, strokes, opt)
	for range 3 {
		again := divide(t, strokes, opt)
		if len(again.Joints) != len(first.Joints) || len(again.Loads) != len(first.Loads) {
			t.Fatal("another number of joints or loads")
		}
		for i, j := range again.Joints {
			if j != first.Joints[i] {
				t.Errorf("joint %d is %v and %v", i, first.Joints[i], j)
			}
		}
		for i, l := range again.Loads {
			if l.Window != first.Loads[i].Window {
				t.Errorf("window %d is %v and %v", i, first.Loads[i].Window, l.Window)
			}
		}
	}
}
