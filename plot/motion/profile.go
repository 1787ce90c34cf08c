package motion

import (
	"sort"

	"weftplot/paths"
	"weftplot/plot/program"
)

// Timing is how the time of a program is divided, in s.
type Timing struct {
	Total             float64 // all of it
	Draw, Travel, Pen float64 // drawing, moving pen up, lifting and lowering
	Wait              float64 // dwells; pauses are not counted
	// Ends[i] is when block i is done, from the start.
	Ends []float64
}

// Time returns how long the blocks take on a machine with limits l.
func Time(blocks []program.Block, l Limits) Timing {
	p := &planner{l: l, blocks: blocks, brief: true}
	return p.plan().timing
}

// Timing returns how the time is divided.
func (p Profile) Timing() Timing { return p.timing }

// State is what a plotter does at an instant.
type State struct {
	Point paths.Point // where the pen is, mm
	Speed float64     // mm/s
	Down  bool        // whether the pen has come down and not gone up
	Block int         // the block under way; the last one after the end
}

// At returns the state t seconds after the start. Before the start the machine
// rests at its own 0,0; after the end, where the program leaves it. The cost
// grows with the logarithm of the program's length.
func (p Profile) At(t float64) State {
	var s State
	if n := sort.Search(len(p.downs), func(i int) bool { return p.downs[i].at > t }); n > 0 {
		s.Down = p.downs[n-1].down
	}
	s.Block = max(0, min(sort.Search(len(p.ends), func(i int) bool { return p.ends[i] > t }), len(p.ends)-1))
	n := sort.Search(len(p.pieces), func(i int) bool { return p.pieces[i].start > t }) - 1
	if n < 0 {
		return s
	}
	q := p.pieces[n]
	if q.curve == nil {
		s.Point = q.rest
		return s
	}
	along, speed := q.at(t-q.start, p.accel)
	s.Point, s.Speed = pointAlong(q.curve, along/q.len), speed
	return s
}

// at returns how far the piece has got and how fast it goes after t seconds.
func (q piece) at(t, a float64) (along, speed float64) {
	if t >= q.time {
		return q.len, q.out
	}
	up, down := (q.peak-q.in)/a, (q.peak-q.out)/a
	switch left := q.time - t; {
	case t < up:
		return q.in*t + a*t*t/2, q.in + a*t
	case left < down:
		return q.len - q.out*left - a*left*left/2, q.out + a*left
	default:
		return q.in*up + a*up*up/2 + q.peak*(t-up), q.peak
	}
}

// pointAlong returns the point a fraction f of the way along c by length.
func pointAlong(c paths.Curve, f float64) paths.Point { return c.At(parameterAlong(c, f)) }

// parameterAlong returns the parameter of the point a fraction f of the way
// along c by length. On lines and arcs the two fractions are equal; on a cubic
// it is found by halving.
func parameterAlong(c paths.Curve, f float64) float64 {
	f = min(1, max(0, f))
	if _, ok := c.(paths.Cubic); !ok || f == 0 || f == 1 {
		return f
	}
	want := f * c.Length()
	low, high := 0.0, 1.0
	for range 20 {
		middle := (low + high) / 2
		if before, _ := c.Split(middle); before.Length() < want {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
