package acked

import (
	"testing"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// A closed stroke ends where it begins, so that only the time tells whether it was
// drawn: a circle of 63 mm takes 1.26 s at 50 mm/s, by hand.
func TestClosedStrokeLeftOut(t *testing.T) {
	start := paths.Point{X: 50, Y: 50}
	for _, c := range []struct {
		what  string
		feed  float64 // at which the machine draws; 0 leaves the circle out
		wrong bool
	}{
		{"drawn", 50, false},
		{"left out", 0, true},
		{"drawn twice as fast, the feed being turned up", 100, false},
		{"drawn twenty times as fast", 1000, false},
	} {
		f, now := drawingCircle(start)
		written := len(f.route.Blocks) * 10
		see := func(at paths.Point, doing answers.Activity) (bool, error) {
			now += 20 * time.Millisecond
			return f.judge(sighting{Reply: answers.Reply{Doing: doing}, at: at, known: true, asked: now - time.Millisecond, now: now, written: written})
		}
		circle := f.route.Blocks[2].Curve
		f.given(now)
		var err error
		for along := c.feed * 0.02; c.feed > 0 && along < circle.Length() && err == nil; along += c.feed * 0.02 {
			_, err = see(circle.At(along/circle.Length()), answers.Moving)
		}
		for range 2 {
			if err == nil {
				_, err = see(start, answers.Idle)
			}
		}
		if err == nil {
			err = f.atRest(sighting{at: start, known: true, asked: now, now: now, written: written})
		}
		if (err != nil) != c.wrong {
			t.Errorf("%s: %v", c.what, err)
		}
	}
}

// A pen that is where it was at the last look may have gone round a closed stroke
// meanwhile. That takes time once: one that stands is found all the same. At 50 mm/s
// the circle of 63 mm takes 1.26 s, and half of that with the feed turned to twice.
func TestSeenWhereACircleBegins(t *testing.T) {
	for _, c := range []struct {
		what   string
		apart  time.Duration // from look to look
		looks  int           // in a row at the same place
		wrong  bool
		before answers.Activity // what it does at the first
	}{
		{"drawn between two looks", 1400 * time.Millisecond, 1, false, answers.Moving},
		{"drawn twice as fast between two looks", 700 * time.Millisecond, 1, false, answers.Moving},
		{"stands", 20 * time.Millisecond, 50, true, answers.Moving},
		{"stands, seen seldom", 700 * time.Millisecond, 5, true, answers.Moving},
		{"stands for no longer than it waits for a line", 500 * time.Millisecond, 1, false, answers.Idle},
	} {
		start := paths.Point{X: 50, Y: 50}
		f, now := drawingCircle(start)
		written := len(f.route.Blocks) * 10
		look := func(doing answers.Activity) error {
			_, err := f.judge(sighting{Reply: answers.Reply{Doing: doing}, at: start, known: true, asked: now - time.Millisecond, now: now, written: written})
			now += c.apart
			return err
		}
		err := look(c.before)
		for k := 0; k < c.looks && err == nil; k++ {
			err = look(answers.Moving)
		}
		if (err != nil) != c.wrong {
			t.Errorf("%s: %v", c.what, err)
		}
	}
}

// drawingCircle is a follower of a machine that stands where a circle begins.
func drawingCircle(start paths.Point) (*follower, time.Duration) {
	blocks := []program.Block{
		{Kind: program.Travel, Curve: paths.Line{B: start}},
		{Kind: program.PenDown},
		{Kind: program.Draw, Curve: paths.Circle(start.Sub(paths.Point{X: 10}), 10), Feed: 50},
		{Kind: program.PenUp},
	}
	for i := range blocks {
		blocks[i].End = 10 * (i + 1)
	}
	p := program.Program{Blocks: blocks}
	job := flow.Job{Program: p, Machine: profiles.Machine{Speed: profiles.SpeedLimits{Draw: 50, Travel: 100}}}
	f := newFollower(job, timeline.New(p, motion.Limits{Draw: 50, Travel: 100, Accel: 1000, Corner: 10}), nil)
	f.confirm(sighting{at: start, known: true, asked: time.Second, now: time.Second, written: 10})
	return &f, time.Second
}
