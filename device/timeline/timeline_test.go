package timeline_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"weftplot/device/timeline"
	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// blocks travel to 10,0, draw to 20,0 and back up to 20,10, and park; each
// block ends a fixed number of bytes after the one before.
func blocks() []program.Block {
	return []program.Block{
		{Kind: program.Travel, Curve: paths.Line{B: pt(10, 0)}, End: 10},
		{Kind: program.PenDown, End: 20},
		{Kind: program.Draw, Curve: paths.Line{A: pt(10, 0), B: pt(20, 0)}, Feed: 40, End: 30},
		{Kind: program.Draw, Curve: paths.Line{A: pt(20, 0), B: pt(20, 10)}, Feed: 40, End: 40},
		{Kind: program.PenUp, End: 50},
		{Kind: program.Travel, Curve: paths.Line{A: pt(20, 10)}, End: 60},
	}
}

var limits = motion.Limits{Draw: 40, Travel: 100, Accel: 500, Corner: 8, UpTime: 0.5, DownTime: 0.25}

func TestTimeline(t *testing.T) {
	tl := timeline.New(program.Program{Blocks: blocks()}, limits)
	if tl.Drawn != 20 || tl.Strokes != 1 {
		t.Errorf("%g mm and %d strokes, want 20 and 1", tl.Drawn, tl.Strokes)
	}
	for _, c := range []struct {
		offset int
		want   timeline.Moment
	}{
		{0, timeline.Moment{}},
		{10, timeline.Moment{At: pt(10, 0), Moved: true}},
		{20, timeline.Moment{At: pt(10, 0), Moved: true, Down: true, Stroke: 1}},
		{25, timeline.Moment{At: pt(10, 0), Moved: true, Down: true, Stroke: 1, Drawn: 5}},
		{30, timeline.Moment{At: pt(20, 0), Moved: true, Down: true, Stroke: 1, Drawn: 10}},
		{40, timeline.Moment{At: pt(20, 10), Moved: true, Down: true, Stroke: 1, Drawn: 20, Lifts: true}},
		{55, timeline.Moment{At: pt(20, 10), Moved: true, Stroke: 1, Drawn: 20}},
		{999, timeline.Moment{At: pt(0, 0), Moved: true, Stroke: 1, Drawn: 20}},
	} {
		got := tl.At(c.offset)
		got.End, got.Seconds = 0, 0
		if got != c.want {
			t.Errorf("At(%d) = %+v, want %+v", c.offset, got, c.want)
		}
	}
	// Rest to rest over 10 mm at 500 mm/s²: textbook kinematics, 2 sqrt(d/a).
	if got, want := tl.At(10).Seconds, 2*math.Sqrt(10.0/500); math.Abs(got-want) > 1e-6 {
		t.Errorf("10 mm take %.6f s, want %.6f", got, want)
	}
}

// Time, length and strokes only ever grow with the offset.
func TestTimelineGrows(t *testing.T) {
	tl := timeline.New(program.Program{Blocks: blocks()}, limits)
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.IntRange(-5, 70).Draw(t, "a")
		b := rapid.IntRange(a, 75).Draw(t, "b")
		m, n := tl.At(a), tl.At(b)
		if m.Seconds > n.Seconds || m.Drawn > n.Drawn || m.Stroke > n.Stroke || n.Seconds > tl.Seconds {
			t.Fatalf("at %d it is %+v, at %d %+v", a, m, b, n)
		}
	})
}

func TestPrediction(t *testing.T) {
	const s = time.Second
	var p timeline.Prediction
	p.Sent(1*s, 0, 10, 2) // from 1 s to 3 s
	p.Sent(1*s, 10, 30, 4)
	if next, waits := p.Next(); next != 3*s || !waits || p.Busy != 7*s {
		t.Errorf("the first chunk is due at %v, all at %v", next, p.Busy)
	}
	for _, c := range []struct {
		now  time.Duration
		want int
	}{{0, 0}, {2 * s, 5}, {3 * s, 10}, {5 * s, 20}, {8 * s, 30}} {
		if got := p.At(c.now); got != c.want {
			t.Errorf("at %v offset %d should be done, not %d", c.now, c.want, got)
		}
	}
	if _, waits := p.Next(); waits {
		t.Error("a chunk is due when all are done")
	}
}

// A place is found where the route passes it, never before the place found
// last, and not in text that was not written.
func TestRoute(t *testing.T) {
	anyPen := func(int, paths.Point, float64) bool { return true }
	b := blocks()
	r := timeline.Route{Blocks: b, Timeline: timeline.New(program.Program{Blocks: b}, limits)}
	for _, c := range []struct {
		at      paths.Point
		written int
		block   int // -1 not found
		along   float64
	}{
		{pt(5, 0.04), 60, 0, 5},
		{pt(5, 0.06), 60, -1, 0},
		{pt(20, 5), 60, 3, 5},
		{pt(20, 5), 30, -1, 0},
		{pt(20, 0), 60, 2, 10},
	} {
		block, along, ok := r.Find(c.at, c.written, anyPen)
		if ok != (c.block >= 0) || ok && (block != c.block || math.Abs(along-c.along) > 2*timeline.Tolerance) {
			t.Errorf("%v of %d bytes is block %d, %.2f mm along, found %v", c.at, c.written, block, along, ok)
		}
	}
	r.Block, r.Along = 3, 6
	if _, _, ok := r.Find(pt(20, 3), 60, anyPen); ok {
		t.Error("a place before the last is found")
	}
	if r.Arrive(50); r.Block != 5 || r.Along != 0 {
		t.Errorf("after 50 bytes block %d may be under way", r.Block)
	}
	if r.Between(2, pt(10, 0), 0) || !r.Between(2, pt(15, 0), 5) || !r.Between(3, pt(20, 0), 0) || r.Between(3, pt(20, 10), 10) {
		t.Error("the ends of a row of moves are not told from what lies between")
	}
}
