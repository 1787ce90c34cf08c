package acked

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/device/timeline"
	"weftplot/paths/fault"
	"weftplot/plot/gcode"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/profiles"
)

var stateNames = [...]string{"fresh", "listening", "asking", "waiting", "finishing", "resetting", "checking", "waking", "quieting", "locating", "timing",
	"ready", "feeding", "counting", "draining", "outlasting", "confirming", "doubting", "returning", "reconfirming", "watching",
	"refused", "offRoute", "lost", "silent", "slowing", "dropping", "runningOut", "lifting", "looking", "halted"}

func (s state) String() string { return stateNames[s] }

// drawing is a stroke 10 mm long, from 10,10 to 20,10.
const drawing = "G21 G90 G17 F2400\nG0 Z5\nG0 X10 Y10\nG1 Z0 F600\nG1 X20 Y10 F2400\nG0 Z5\nM2\n"

func testJob(t testing.TB) flow.Job {
	t.Helper()
	m, err := profiles.MachineNamed("gantry-z")
	if err != nil {
		t.Fatal(err)
	}
	p, err := gcode.Read(context.Background(), "drawing", []byte(drawing), &m)
	if err != nil {
		t.Fatal(err)
	}
	return flow.Job{Program: p, Text: []byte(drawing), Machine: m}
}

func testTimeline(job flow.Job) timeline.Timeline {
	return timeline.New(job.Program, motion.LimitsOf(job.Machine))
}

func testDialogue(t testing.TB) *dialogue {
	t.Helper()
	job := testJob(t)
	l, err := language.Of(profiles.GCode)
	if err != nil {
		t.Fatal(err)
	}
	r, err := answers.NewReader(profiles.UsualManner())
	if err != nil {
		t.Fatal(err)
	}
	return newDialogue(job, testTimeline(job), l, r, 10*time.Second/115200)
}

// step is an event some time after the one before.
type step struct {
	after time.Duration
	event event
	line  string // what the controller says, when the event is a line of its
}

const tick = 10 * time.Millisecond

func says(line string) step { return step{after: tick, line: line} }

func wants(e event) step { return step{after: tick, event: e} }

// passes is so much time without a byte.
func passes(d time.Duration) step { return step{after: d, event: event{kind: deadline}} }

// wait200 is a dwell that lasts as long as it should.
var wait200 = step{after: language.DwellTime, event: event{kind: pause}}

var heardAll = step{event: event{kind: pause}}

// chunkLine returns the line of the drawing with a number, from 1.
func chunkLine(n int) openLine {
	lines := strings.SplitAfter(drawing, "\n")
	end := len(strings.Join(lines[:n], ""))
	return openLine{text: strings.TrimSpace(lines[n-1]), end: end, line: n}
}

func sends(lines ...int) step {
	e := event{kind: send}
	for _, n := range lines {
		e.lines = append(e.lines, chunkLine(n))
	}
	return wants(e)
}

// long is a line of which two, and no three, fit in 127 bytes.
var long = openLine{text: strings.Repeat("(", 44)}

// drive tells the dialogue the steps and returns what the last of them wrote.
func drive(d *dialogue, steps ...step) (out string, err error) {
	for _, s := range steps {
		e := s.event
		e.now = d.now + s.after
		if s.line != "" {
			r := d.reader.Read(s.line)
			e = event{kind: eventKind(r.Kind), reply: r, now: e.now}
		}
		var bytes []byte
		if bytes, err = d.handle(e); err != nil {
			return string(bytes), err
		}
		out = string(bytes)
	}
	return out, nil
}

const (
	home  = "<idle 0.000,0.000,5.000>"
	start = "<idle 10.000,10.000,5.000>"
)

// route to a state: the state before, and the steps from there.
type route struct {
	from  state
	steps []step
}

// followed leads from ready to a machine that was found where the program is: at
// 10,10, pen up.
var followed = after(settled, says(start), heardAll)

// settled leads from ready to where the machine is asked whether it is at 10,10.
var settled = []step{sends(1, 2, 3), wants(event{kind: settle}), says("ok"), says("ok"), says("ok"), says("ok"), heardAll}

func after(before []step, more ...step) []step { return slices.Concat(before, more) }

// away is a machine that said that it stands elsewhere, three times.
func away(place string) []step {
	one := []step{says(place), heardAll, passes(flow.PollAgain)}
	return slices.Concat(settled, one, one, one)
}

// routes leads to every state.
var routes = map[state]route{
	listening: {fresh, []step{wants(event{kind: greet})}},
	asking:    {listening, []step{passes(bootTime)}},
	waiting:   {asking, []step{says("<run 0.000,0.000,5.000>")}},
	finishing: {waiting, []step{passes(flow.PollEvery)}},
	resetting: {asking, []step{says(home)}},
	checking:  {resetting, []step{passes(time.Second)}},
	waking:    {checking, []step{says(home)}},
	quieting:  {waking, []step{says("ok")}},
	locating:  {quieting, []step{passes(flow.PollAgain)}},
	ready:     {locating, []step{says(home)}},

	feeding:    {ready, []step{wants(event{kind: send, lines: []openLine{long, long, long}})}},
	counting:   {ready, after(followed, step{after: recountEvery, event: event{kind: send, lines: []openLine{chunkLine(4)}}})},
	draining:   {ready, []step{wants(event{kind: settle})}},
	confirming: {draining, []step{says("ok"), heardAll}},
	watching:   {ready, after(followed, sends(5), wants(event{kind: watch, stroke: 1, until: time.Hour}))},

	refused: {feeding, []step{says("error:2")}},
	lost:    {feeding, []step{says("alarm:1")}},
	silent:  {feeding, []step{passes(time.Second), passes(deadAfter + tick)}},

	slowing:  {ready, []step{wants(event{kind: halt})}},
	dropping: {slowing, []step{says(home), says(home)}},
	lifting:  {dropping, []step{passes(time.Second)}},
	looking:  {lifting, []step{says("ok"), says("ok"), says("ok"), says("ok")}},
	halted:   {looking, []step{says(home)}},
}

// trusting prepares the states that only a machine can get to that was found
// where it should be before, by an earlier job: the doubts about it.
func trusting(d *dialogue) { d.follower.trusted = true }

// at returns a dialogue in a state.
func at(t testing.TB, s state) *dialogue {
	t.Helper()
	switch s {
	case fresh:
		return testDialogue(t)
	case doubting, returning, reconfirming, offRoute:
		d := at(t, ready)
		trusting(d)
		steps := map[state][]step{
			doubting:     away(home)[:len(settled)+2],
			returning:    away(home),
			reconfirming: after(away(home), says("ok"), says("ok"), heardAll),
			offRoute:     after(away(home)[:len(settled)+3], away("<idle 3.000,0.000,5.000>")[len(settled)+3:]...),
		}[s]
		drive(d, steps...)
		return d
	case timing, outlasting, runningOut:
		d := testDialogue(t)
		drive(d, wants(event{kind: greet}), passes(bootTime), passes(time.Second), passes(time.Second), passes(time.Second),
			says("ok"), passes(flow.PollAgain))
		switch s {
		case outlasting: // it answers dwells at once
			drive(d, says("ok"), says("ok"), says("ok"), says("ok"), says("ok"), says("ok"), sends(1, 2, 3), wants(event{kind: settle}), says("ok"), says("ok"), says("ok"), says("ok"), heardAll)
		case runningOut:
			drive(d, says("ok"), wait200, says("ok"), sends(1), wants(event{kind: halt}))
		}
		return d
	}
	r := routes[s]
	d := at(t, r.from)
	drive(d, r.steps...)
	return d
}

func TestEveryStateIsReached(t *testing.T) {
	for s := fresh; s <= halted; s++ {
		if d := at(t, s); d.state != s {
			t.Errorf("the route to %v leads to %v", s, d.state)
		}
	}
}

// The transitions, each from a state that was reached by events alone.
func TestTransitions(t *testing.T) {
	for _, c := range []struct {
		from  state
		steps []step
		to    state
		out   string     // what the last step writes
		kind  fault.Kind // of the error
	}{
		// Greeting.
		{fresh, []step{wants(event{kind: greet})}, listening, "", ""},
		{listening, []step{says("good morning"), heardAll, passes(200 * time.Millisecond)}, asking, "?", ""},
		{listening, []step{passes(bootTime)}, asking, "?", ""},
		{asking, []step{says("ok")}, asking, "", ""},
		{asking, []step{passes(time.Second), passes(time.Second)}, asking, "?", ""},
		{asking, []step{passes(time.Second), passes(time.Second), passes(time.Second)}, waking, "\n", ""},
		{asking, []step{says("<run 1.000,1.000,0.000>")}, waiting, "", ""},
		{asking, []step{says("<alarm>")}, lost, "", flow.Alarm},
		{asking, []step{says(home)}, resetting, "\x18", ""},
		{waiting, []step{passes(flow.PollEvery)}, finishing, "?", ""},
		{finishing, []step{says("<run 1.000,1.000,0.000>")}, waiting, "", ""},
		{finishing, []step{says(home)}, resetting, "\x18", ""},
		{finishing, []step{{after: leftover + time.Second, event: event{kind: deadline}}}, silent, "", flow.Silent},
		{resetting, []step{says("good morning"), heardAll, passes(20 * time.Millisecond)}, checking, "?", ""},
		{checking, []step{says("<alarm 0.000,0.000,5.000>")}, lost, "", flow.Alarm},
		{checking, []step{passes(time.Second)}, waking, "\n", ""},
		{waking, []step{says("error:1")}, quieting, "", ""},
		{waking, []step{passes(flow.ReplyTime)}, waking, "\nG21\n", ""},
		{waking, []step{passes(flow.ReplyTime), passes(flow.ReplyTime), passes(flow.ReplyTime)}, silent, "", flow.Silent},
		{waking, []step{says("\xff\xfe"), passes(flow.ReplyTime), passes(flow.ReplyTime), passes(flow.ReplyTime)}, silent, "", flow.Garbled},
		{waking, []step{says("what?"), passes(flow.ReplyTime), passes(flow.ReplyTime), passes(flow.ReplyTime)}, silent, "", flow.Garbled},
		{waking, []step{says("good morning"), passes(time.Second), says("good morning")}, lost, "", flow.Restarted}, // the first is that of the reset
		{quieting, []step{passes(flow.PollAgain)}, locating, "?", ""},
		{timing, []step{says("ok")}, timing, "", ""},
		{timing, []step{says("ok"), wait200, says("ok")}, ready, "", ""},
		{timing, []step{says("ok"), says("ok")}, timing, "\nG4 P0.2\n", ""},
		{timing, []step{says("ok"), says("ok"), says("ok"), says("ok"), says("ok"), says("ok")}, ready, "", ""}, // it answers too soon
		{timing, []step{wait200, says("ok"), wait200, says("ok"), wait200, says("ok")}, ready, "", ""},          // it passes over empty lines
		{timing, []step{passes(flow.ReplyTime), passes(flow.ReplyTime), passes(flow.ReplyTime)}, ready, "", ""},
		{timing, []step{says("good morning")}, lost, "", flow.Restarted},
		{locating, []step{says(start)}, ready, "", ""},
		{locating, []step{passes(time.Second)}, ready, "", ""},

		// Feeding.
		{ready, []step{sends(1)}, ready, "G21 G90 G17 F2400\n", ""},
		{feeding, []step{says("ok"), heardAll}, ready, "?" + long.text + "\n", ""},
		{feeding, []step{says("okk"), heardAll}, feeding, "?", ""},
		{feeding, []step{passes(flow.PollEvery)}, feeding, "?", ""},
		{feeding, []step{says("[a message]"), heardAll}, feeding, "?", ""},
		{feeding, []step{says("error:2")}, refused, "", flow.Rejected},
		{feeding, []step{says("alarm:1")}, lost, "", flow.Alarm},
		{feeding, []step{says("<alarm 1.000,0.000,5.000>")}, lost, "", flow.Alarm},
		{feeding, []step{says("<hold 1.000,0.000,5.000>")}, lost, "", flow.Stopped},
		{feeding, []step{passes(time.Second), passes(deadAfter + tick)}, silent, "", flow.Silent},
		{feeding, []step{passes(time.Second), says(home), passes(deadAfter - tick)}, feeding, "?", ""},
		// Twice nothing left to do: the answers were lost, or half a line is held.
		{feeding, []step{passes(time.Second), says(home), says(home)}, feeding, "\n", ""},
		{ready, after(followed, sends(5), wants(event{kind: watch, stroke: 9, until: time.Hour}), passes(time.Second), says("<run 15.000,10.000,5.000>"),
			passes(time.Second), says("<run 15.000,30.000,5.000>"), says("<run 15.000,30.000,5.000>")), offRoute, "", flow.Garbled},
		{counting, []step{says(start), heardAll}, ready, "G1 Z0 F600\n", ""},
		{counting, []step{passes(recountEvery + tick)}, ready, "?G1 Z0 F600\n", ""},

		// Settling.
		{ready, []step{wants(event{kind: settle})}, draining, "G4 P0\n", ""},
		{draining, []step{heardAll, says("ok"), heardAll}, confirming, "?", ""},
		{confirming, []step{says("<run 0.000,0.000,5.000>"), heardAll}, confirming, "", ""},
		{confirming, []step{says(home), heardAll}, ready, "", ""},
		{doubting, []step{passes(flow.PollAgain)}, confirming, "?", ""},
		{doubting, []step{passes(flow.PollAgain), says(start), heardAll}, ready, "", ""},
		{returning, []step{says("ok"), says("ok"), heardAll}, reconfirming, "?", ""},
		{reconfirming, []step{says(start), heardAll}, ready, "", ""},
		{reconfirming, []step{says(home), heardAll}, ready, "", ""}, // its places tell nothing
		{watching, []step{passes(2 * time.Hour)}, ready, "?", ""},
		{watching, []step{passes(flow.PollEvery), says(start), says(start), heardAll}, draining, "G4 P0\n", ""},

		{outlasting, []step{passes(flow.PollEvery)}, outlasting, "", ""},
		{outlasting, []step{passes(time.Minute)}, ready, "", ""},
		{outlasting, []step{says("ok"), says("ok"), says("ok")}, outlasting, "", ""},
		{outlasting, []step{says("ok"), says("ok"), says("ok"), says("ok"), says("ok")}, offRoute, "", flow.Garbled},
		{outlasting, []step{says("good morning")}, lost, "", flow.Restarted},

		// Halting.
		{ready, []step{wants(event{kind: halt})}, slowing, "!?", ""},
		{refused, []step{wants(event{kind: halt})}, slowing, "!?", ""},
		{offRoute, []step{wants(event{kind: halt})}, slowing, "!?", ""},
		{lost, []step{wants(event{kind: halt})}, slowing, "!?", ""},
		{silent, []step{wants(event{kind: halt})}, slowing, "!?", ""},
		{slowing, []step{says("<run 1.000,0.000,5.000>")}, slowing, "?", ""},
		{slowing, []step{says("<hold 1.000,0.000,5.000>"), says("<hold 1.500,0.000,5.000>")}, slowing, "?", ""},
		{slowing, []step{says("<hold 1.000,0.000,5.000>"), says("<hold 1.000,0.000,5.000>")}, dropping, "\x18", ""},
		{slowing, []step{passes(time.Hour)}, dropping, "\x18", ""},
		{dropping, []step{passes(time.Second)}, lifting, "G21\n", ""},
		{lifting, []step{says("ok"), says("ok")}, lifting, "G0 Z5\n", ""},
		{lifting, []step{says("ok"), says("ok"), says("ok"), says("ok")}, looking, "?", ""},
		{lifting, []step{says("ok"), passes(time.Second), passes(time.Second), passes(3 * time.Second)}, dropping, "\x18", ""},
		{lifting, []step{says("error:9"), says("error:9"), says("error:9"), says("error:9")}, dropping, "\x18", ""},
		{looking, []step{says(home)}, halted, "", ""},
		{looking, []step{says("<run 0.000,0.000,2.000>")}, looking, "?", ""},
		{looking, []step{passes(time.Second)}, looking, "?", ""},
		{looking, []step{passes(time.Minute)}, halted, "", ""},
		{runningOut, []step{says("error:3")}, lifting, "G21\n", ""},
		{runningOut, []step{passes(time.Minute)}, lifting, "G21\n", ""},
	} {
		name := fmt.Sprintf("%v to %v by %d events", c.from, c.to, len(c.steps))
		d := at(t, c.from)
		out, err := drive(d, c.steps...)
		if d.state != c.to || out != c.out {
			t.Errorf("%s: it is %v and writes %q, want %q", name, d.state, out, c.out)
		}
		if c.kind == "" && err != nil || c.kind != "" && !errors.Is(err, c.kind) {
			t.Errorf("%s: %v, want %q", name, err, c.kind)
		}
	}
}

// In every state every event is survived, time that passes leads on in the end to
// a state that rests, and a halt always leads to halted.
func TestEveryEventInEveryState(t *testing.T) {
	lines := []string{"ok", "error:1", "alarm:1", home, "<hold 1.000,1.000,1.000>", "<alarm>", "[note]", "good morning", "\xff", ""}
	for s := fresh; s <= halted; s++ {
		for _, line := range lines {
			d := at(t, s)
			rested := d.rests()
			if !rested {
				drive(d, step{after: tick, line: line}, heardAll)
			}
			for range 200 {
				if d.rests() {
					break
				}
				drive(d, passes(time.Minute))
			}
			if !d.rests() {
				t.Errorf("%v, then %q: it never rests, being %v", s, line, d.state)
			}
			drive(d, wants(event{kind: halt}))
			for range 200 {
				if d.state == halted {
					break
				}
				drive(d, passes(time.Minute))
			}
			if d.state != halted {
				t.Errorf("%v, then %q and a halt: it is %v", s, line, d.state)
			}
		}
	}
}

// A controller that knows no question, no hold and no reset is greeted and halted
// without them.
func TestMannerWithoutBytes(t *testing.T) {
	m := profiles.UsualManner()
	m.Ask, m.Hold, m.GoOn, m.Reset, m.Status = "", "", "", "", ""
	r, err := answers.NewReader(m)
	if err != nil {
		t.Fatal(err)
	}
	job := testJob(t)
	l, _ := language.Of(profiles.GCode)
	d := newDialogue(job, testTimeline(job), l, r, time.Millisecond)
	out, err := drive(d, wants(event{kind: greet}), passes(bootTime))
	if d.state != waking || out != "\n" || err != nil {
		t.Fatalf("it is %v and writes %q, %v", d.state, out, err)
	}
	drive(d, says("ok"), passes(flow.PollAgain))
	out, _ = drive(d, wants(event{kind: halt}))
	if d.state != lifting || out != "G21\n" {
		t.Errorf("halted, it is %v and writes %q", d.state, out)
	}
}
