package timeline_test

import (
	"math"
	"testing"

	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// A circle of radius 10 mm, then there and back along 30 mm, drawn with 50 mm/s.
func loops() timeline.Route {
	a, b := paths.Point{X: 50, Y: 50}, paths.Point{X: 80, Y: 50}
	blocks := []program.Block{
		{Kind: program.Travel, Curve: paths.Line{B: a}},
		{Kind: program.PenDown},
		{Kind: program.Draw, Curve: paths.Circle(paths.Point{X: 40, Y: 50}, 10), Feed: 50},
		{Kind: program.Draw, Curve: paths.Line{A: a, B: b}, Feed: 50},
		{Kind: program.Draw, Curve: paths.Line{A: b, B: a}, Feed: 50},
		{Kind: program.PenUp},
	}
	for i := range blocks {
		blocks[i].End = 10 * (i + 1)
	}
	t := timeline.New(program.Program{Blocks: blocks}, motion.Limits{Draw: 50, Travel: 100, Accel: 1000, Corner: 10})
	return timeline.Route{Blocks: blocks, Timeline: t, Block: 2}
}

func TestSoonest(t *testing.T) {
	// The lengths over a feed that may be turned up by a quarter, by hand.
	circle, line := 2*math.Pi*10/(1.25*50), 30/(1.25*50)
	r := loops()
	for _, c := range []struct {
		block       int
		along, want float64
	}{
		{0, 20, 0}, {2, 0, 0}, {2, math.Pi * 10, circle / 2}, {3, 15, circle + line/2}, {5, 0, circle + 2*line}, {6, 0, circle + 2*line},
	} {
		if got := r.Soonest(c.block, c.along); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%v mm along block %d after %v s, not %v", c.along, c.block, got, c.want)
		}
	}
}

// The latest place where the machine may be, of those that the route passes.
func TestLatest(t *testing.T) {
	circle, line := 2*math.Pi*10/(1.25*50), 30/(1.25*50)
	start, way := paths.Point{X: 50, Y: 50}, paths.Point{X: 65, Y: 50}
	slack := 3 * timeline.Tolerance / 50
	for _, c := range []struct {
		what        string
		at          paths.Point
		offset      int
		limit, want float64
	}{
		{"no time for the circle", start, 60, circle / 2, 0},
		{"time for the circle", start, 60, circle * 1.1, circle},
		{"time for all", start, 60, circle + 3*line, circle + 2*line},
		{"time for all, but only the circle was written", start, 30, 9, circle},
		{"on the way out", way, 60, circle + line*0.9, circle + line/2},
		{"or back", way, 60, circle + 2*line, circle + 1.5*line},
	} {
		r := loops()
		if got := r.Latest(c.at, c.offset, c.limit); math.Abs(got-c.want) > slack {
			t.Errorf("%s: %v s, not %v", c.what, got, c.want)
		}
	}
}

func TestClosedInABlink(t *testing.T) {
	r := loops()
	all := r.Soonest(6, 0)
	for _, c := range []struct {
		from, offset int
		seconds      float64
		want         bool
	}{
		{2, 60, all + 0.1, true}, {2, 60, all - 0.1, false}, {5, 60, all + 0.1, false}, {2, 10, 9, false},
	} {
		if got := r.ClosedInABlink(c.from, c.offset, c.seconds); got != c.want {
			t.Errorf("from block %d to byte %d in %v s: %v", c.from, c.offset, c.seconds, got)
		}
	}
}
