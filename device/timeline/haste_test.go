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
	// The lengths over a feed that may be exceeded by a quarter, by hand.
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

// Where the pen may be again is the end of a closed stroke that there is time for,
// and not the place where it is seen.
func TestRound(t *testing.T) {
	circle := 2 * math.Pi * 10 / (1.25 * 50)
	for _, c := range []struct {
		what    string
		at      paths.Point
		offset  int
		seconds float64
		block   int
		ok      bool
	}{
		{"no time for the circle", paths.Point{X: 50, Y: 50}, 60, circle * .9, 0, false},
		{"time for the circle", paths.Point{X: 50, Y: 50}, 60, circle * 1.1, 3, true},
		{"time for all", paths.Point{X: 50, Y: 50}, 60, 9, 4, true},
		{"time for all, but nothing was written", paths.Point{X: 50, Y: 50}, 20, 9, 0, false},
		{"time for all, but only the circle was written", paths.Point{X: 50, Y: 50}, 30, 9, 2, true},
		{"a place that is passed once", paths.Point{X: 30, Y: 50}, 60, 9, 0, false},
		{"a corner that is no end of a closed stroke", paths.Point{X: 80, Y: 50}, 60, 9, 0, false},
	} {
		r := loops()
		if block, along, ok := r.Find(c.at, 60, func(int, paths.Point, float64) bool { return true }); ok {
			r.Block, r.Along = block, along
		}
		if block, ok := r.Round(c.at, c.offset, c.seconds); block != c.block || ok != c.ok {
			t.Errorf("%s: block %d, %v", c.what, block, ok)
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
