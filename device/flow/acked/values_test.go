package acked

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/device/timeline"
	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// The window against the worked example of common practice: in 128 bytes lines of
// 40, 40 and 40 go, and one of 10 waits for an answer.
func TestWindowHolds(t *testing.T) {
	w := newWindow(nil, 128, time.Millisecond)
	for range 3 {
		if !w.fits(40) {
			t.Fatalf("with %d bytes held, 40 more do not fit", w.held)
		}
		w.push(openLine{bytes: 40})
	}
	if w.fits(10) {
		t.Error("130 bytes fit in 128")
	}
	w.pop(0)
	w.pop(0)
	if !w.fits(10) {
		t.Error("beside one of 40 bytes another of 10 does not fit")
	}
	if long := newWindow(nil, 128, 1); !long.fits(500) {
		t.Error("a line longer than the window does not go alone")
	}
}

// Whatever is written and answered, what is held is the sum of what is open and
// no more than the buffer, and the offsets go on.
func TestWindowProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		buffer := rapid.IntRange(16, 1024).Draw(t, "buffer")
		w := newWindow([]language.Chunk{{End: rapid.IntRange(1, 80).Draw(t, "longest")}}, buffer, time.Millisecond)
		now, end := time.Duration(0), 0
		for range rapid.IntRange(1, 200).Draw(t, "steps") {
			now += time.Duration(rapid.IntRange(0, 50).Draw(t, "ms")) * time.Millisecond
			taken := w.acknowledged
			if n := rapid.IntRange(1, 80).Draw(t, "bytes"); rapid.Bool().Draw(t, "write") && w.fits(n) {
				alone := w.empty()
				end += n
				w.push(openLine{bytes: n, end: end, gone: now})
				if w.held > buffer && !alone {
					t.Fatalf("%d bytes are held of %d", w.held, buffer)
				}
			} else {
				w.pop(now)
			}
			sum := 0
			for _, l := range w.open {
				sum += l.bytes
			}
			if sum != w.held || w.acknowledged < taken || w.acknowledged > w.written || w.done() > w.acknowledged || w.size < w.least || w.size > w.most {
				t.Fatalf("%d bytes open, %d held; taken %d after %d of %d, done %d; window %d of %d to %d",
					sum, w.held, w.acknowledged, taken, w.written, w.done(), w.size, w.least, w.most)
			}
		}
	})
}

// A window is wide while answers come at once, and half the buffer while they
// wait for the motion.
func TestWindowSize(t *testing.T) {
	w := newWindow([]language.Chunk{{End: 20}}, 128, time.Millisecond)
	answer := func(after time.Duration) int {
		w.push(openLine{bytes: 1})
		w.pop(after)
		return w.size
	}
	if n := answer(30 * time.Millisecond); n != 70 { // 30 bytes in 30 ms, and two lines of 20
		t.Errorf("the window is %d bytes, want 70", n)
	}
	if n := answer(45 * time.Millisecond); n != 64 {
		t.Errorf("while answers wait the window is %d bytes, want half of 128", n)
	}
	if n := answer(time.Millisecond); n != 64 {
		t.Errorf("at once it is %d bytes, want the least, 64", n)
	}
}

func TestQuestions(t *testing.T) {
	const s = time.Second
	q := questions{live: true}
	q.heard = 10 * s
	q.ask(11 * s)
	q.ask(12 * s)
	if d, tooLong := q.silentFor(99 * s); tooLong || d != 0 {
		t.Error("silence counts although no look was due")
	}
	if q.report(); q.of != 11*s || q.answers != 1 {
		t.Errorf("the first answer is to the question of %v", q.of)
	}
	q.askAgain(13 * s)
	q.askAgain(14 * s)
	if d, tooLong := q.silentFor(17 * s); d != 4*s || tooLong {
		t.Errorf("at 17 s it has been silent for %v, too long: %v", d, tooLong)
	}
	if d, tooLong := q.silentFor(19 * s); d != 6*s || !tooLong {
		t.Errorf("at 19 s it has been silent for %v, too long: %v", d, tooLong)
	}
	// The questions of 12 to 14 s are given up by 20 s.
	if q.ask(20 * s); len(q.pending) != 1 {
		t.Errorf("%d questions are pending, want the last", len(q.pending))
	}
}

func TestWorth(t *testing.T) {
	var w worth
	place := func(x float64) answers.Reply { return answers.Reply{Place: paths.Point{X: x}, HasPlace: true} }
	w.hear(answers.Reply{})
	w.hear(place(1))
	w.hear(place(1))
	if w.changed {
		t.Error("the same place is another one")
	}
	if w.hear(place(2)); !w.changed {
		t.Error("another place is the same one")
	}
}

func TestWait(t *testing.T) {
	const ms = time.Millisecond
	quiet := wait{until: 100 * ms, gap: 20 * ms, heard: true}
	if quiet.wake(30*ms) != 50*ms || quiet.wake(90*ms) != 100*ms {
		t.Error("a quiet wait ends elsewhere than a gap on, or at its end")
	}
	if quiet.over(event{kind: pause, now: 50 * ms}) || !quiet.over(event{kind: pause, now: 100 * ms}) || !quiet.over(event{kind: deadline, now: 60 * ms}) {
		t.Error("a quiet wait is over when it is not, or is not when it is")
	}
	first := wait{until: 100 * ms, gap: 20 * ms, once: 100 * ms}
	if first.wake(30*ms) != 100*ms || first.over(event{kind: pause, now: 80 * ms}) || first.wake(90*ms) != 110*ms || first.until != 180*ms {
		t.Errorf("a wait for a first byte: %+v", first)
	}
	plain := wait{until: 100 * ms}
	if plain.over(event{kind: pause, now: 200 * ms}) || !plain.over(event{kind: deadline}) || plain.over(event{kind: noise}) {
		t.Error("a plain wait does not end at its deadline alone")
	}
}

// drawingFollower follows the test's drawing, confirmed at 10,10 with the pen up.
func drawingFollower(t *testing.T) (*follower, func(at paths.Point, z float64, now time.Duration) sighting) {
	t.Helper()
	job := testJob(t)
	l, err := language.Of(profiles.GCode)
	if err != nil {
		t.Fatal(err)
	}
	f := newFollower(job, testTimeline(job), l.Heights(job.Program, job.Text))
	see := func(at paths.Point, z float64, now time.Duration) sighting {
		r := answers.Reply{Kind: answers.Report, Doing: answers.Moving, Place: at, HasPlace: true, Z: z, HasZ: true}
		return sighting{Reply: r, at: at, known: true, asked: now, now: now, written: strings.Index(drawing, "M2")}
	}
	s := see(paths.Point{X: 10, Y: 10}, 5, 0)
	s.written = strings.Index(drawing, "G1 Z0")
	f.confirm(s)
	if !f.trusted || !f.following || !f.heeded {
		t.Fatalf("confirmed, it is %+v", f)
	}
	return &f, see
}

// The follower takes what is on the route and, twice, refuses what is not: a
// place off it, a leap along it that no motor makes, and the wrong height.
func TestFollower(t *testing.T) {
	const ms = time.Millisecond
	pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	f, see := drawingFollower(t)
	for i, x := range []float64{10, 11, 12.5, 13} {
		if doubt, err := f.judge(see(pt(x, 10.02), 0, time.Duration(i+1)*100*ms)); doubt || err != nil {
			t.Fatalf("at %g: %v, %v", x, doubt, err)
		}
	}
	if f.downIn != 1 || math.Abs(f.route.Along-3) > 2*timeline.Tolerance {
		t.Errorf("the pen was seen down in stroke %d, %.2f mm along it", f.downIn, f.route.Along)
	}
	for what, s := range map[string]sighting{
		"off the route": see(pt(14, 12), 0, 500*ms),
		"pen up":        see(pt(14, 10), 5, 500*ms),
	} {
		g := *f
		if doubt, err := g.judge(s); !doubt || err != nil {
			t.Errorf("%s, once: %v, %v", what, doubt, err)
		}
		if doubt, err := g.judge(s); doubt || !errors.Is(err, flow.Garbled) || g.stray == nil || g.stray.Last != pt(13, 10.02) || !g.stray.Down {
			t.Errorf("%s, twice: %v, %v, %+v", what, doubt, err, g.stray)
		}
	}
}

// A pen that stands on the cloth, while the machine says that it moves, is found.
func TestFollowerSeesAPenThatStands(t *testing.T) {
	const ms = time.Millisecond
	f, see := drawingFollower(t)
	at := paths.Point{X: 13, Y: 10.02}
	var err error
	for i := 0; i < 20 && err == nil; i++ {
		_, err = f.judge(see(at, 0, 500*ms+time.Duration(i)*50*ms))
	}
	if !errors.Is(err, flow.Garbled) || f.stray != nil {
		t.Errorf("a pen that stands: %v, %+v", err, f.stray)
	}
}

func TestFollowerAtRest(t *testing.T) {
	f, see := drawingFollower(t)
	end := paths.Point{X: 20, Y: 10}
	if err := f.atRest(see(end, 5, time.Second)); err != nil {
		t.Error(err)
	}
	for what, s := range map[string]sighting{
		"elsewhere":   see(paths.Point{X: 19, Y: 10}, 5, time.Second),
		"pen down":    see(end, 0, time.Second),
		"at its home": see(paths.Point{}, 5, time.Second),
	} {
		err := f.atRest(s)
		if !errors.Is(err, flow.Garbled) || f.stray == nil || !f.stray.Down || f.stray.Lost != (what == "at its home") {
			t.Errorf("%s: %v, %+v", what, err, f.stray)
		}
	}
}

// How often a machine is asked: at the speed of the pen, but no more than a
// controller or the line can bear. By hand.
func TestLooksEvery(t *testing.T) {
	for _, c := range []struct {
		draw    paths.Speed
		perByte time.Duration
		want    time.Duration
	}{
		{40, 10 * time.Second / 115200, 20 * time.Millisecond},
		{10, 10 * time.Second / 115200, 80 * time.Millisecond},
		{1, 10 * time.Second / 115200, 100 * time.Millisecond},
		{40, time.Millisecond, 160 * time.Millisecond},
	} {
		if got := looksEvery(profiles.SpeedLimits{Draw: c.draw}, c.perByte); got != c.want {
			t.Errorf("at %v and %v a byte it is asked every %v, want %v", c.draw, c.perByte, got, c.want)
		}
	}
}

// TestPenLines: a pen line is known with and without its blanks, and nothing else is one.
func TestPenLines(t *testing.T) {
	lines := []string{"M3 S90", "G4 P0.25"}
	for text, want := range map[string]bool{"M3 S90": true, "M3S90": true, "G4P0.25": true, "M3S9": false, "M5": false, "": false} {
		if got := isPenLine(lines, text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
