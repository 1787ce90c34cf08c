package acked

import (
	"errors"
	"strings"
	"testing"
	"time"

	"weftplot/device/flow"
	"weftplot/paths/fault"
)

// mute is a dialogue with a controller that gives no reports, ready: it answers
// empty lines, and dwells when they are over.
func mute(t *testing.T) *dialogue {
	t.Helper()
	d := testDialogue(t)
	drive(d, wants(event{kind: greet}), passes(bootTime), passes(time.Second), passes(time.Second), passes(time.Second),
		says("ok"), passes(flow.PollAgain), says("ok"), wait200, says("ok"))
	if d.state != ready || !d.probe.known || d.early {
		t.Fatalf("it is %v, answers empty lines %v, dwells too soon %v", d.state, d.probe.known, d.early)
	}
	return d
}

// answering lets time pass with a controller that answers what reply returns to
// what is written, and returns when the dialogue ends with an error, or the time is
// over.
func answering(d *dialogue, limit time.Duration, reply func(out string) int) (took time.Duration, err error) {
	const step = 5 * time.Millisecond
	began := d.now
	for d.now-began < limit {
		out, err := d.handle(event{kind: deadline, now: d.now + step})
		for n := reply(string(out)); n > 0 && err == nil; n-- {
			_, err = d.handle(event{kind: acknowledgement, now: d.now + time.Millisecond})
		}
		if err == nil {
			_, err = d.handle(event{kind: pause, now: d.now})
		}
		if err != nil {
			return d.now - began, err
		}
	}
	return limit, nil
}

// Lines that a controller never answers are given up within a second if it stands,
// by its answers to empty lines; one that is at work on a long move is waited for.
func TestProbe(t *testing.T) {
	lost := []step{sends(1, 2, 3, 4, 5), says("ok"), says("ok"), says("ok"), heardAll}
	for _, c := range []struct {
		name  string
		reply func(out string) int
		ends  bool
	}{
		{"it stands", func(out string) int { return strings.Count(out, "\n") }, true},
		{"it is at work", func(string) int { return 0 }, false},
		{"it answers a line now and then", func(out string) int { return min(1, len(out)) }, false},
	} {
		d := mute(t)
		if _, err := drive(d, lost...); err != nil {
			t.Fatal(err)
		}
		d.handle(event{kind: settle, now: d.now})
		took, err := answering(d, time.Second, c.reply)
		if ended := errors.Is(err, flow.Garbled); ended != c.ends {
			t.Errorf("%s: after %v: %v", c.name, took, err)
		}
		if c.ends && !strings.Contains(err.Error(), "it no longer knows where it is") {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A controller that takes far longer than predicted is not waited for for ever,
// and neither is one that says nothing.
func TestCrawl(t *testing.T) {
	d := mute(t)
	if _, err := drive(d, sends(1, 2, 3, 4, 5)); err != nil {
		t.Fatal(err)
	}
	d.handle(event{kind: settle, now: d.now})
	limit := d.pace.since + crawlsBy*d.pace.work + flow.MotionSlip
	n := 0
	took, err := answering(d, time.Hour, func(out string) int { // an answer each 4 s
		if n++; n%800 == 0 {
			return 1
		}
		return 0
	})
	if !errors.Is(err, flow.Garbled) || !strings.Contains(err.Error(), "as long as predicted") || d.now > limit+time.Second {
		t.Errorf("after %v: %v", took, err)
	}
}

// What a controller says while nothing is sent counts too: a greeting, and a stop by
// itself.
func TestOverhear(t *testing.T) {
	for line, kind := range map[string]fault.Kind{"good morning": flow.Restarted, "alarm:1": flow.Alarm, "ok": "", "[note]": "", home: ""} {
		d := mute(t)
		r := d.reader.Read(line)
		err := d.overhear(event{kind: eventKind(r.Kind), reply: r, now: d.now + time.Minute})
		if kind == "" && err != nil || kind != "" && !errors.Is(err, kind) {
			t.Errorf("%q: %v", line, err)
		}
		if d.greetings.lost != (kind == flow.Restarted) {
			t.Errorf("%q: place lost %v", line, d.greetings.lost)
		}
	}
}

// What is repeated of a machine's words is bounded, and nothing of it reaches a
// terminal as it is.
func TestQuote(t *testing.T) {
	for text, want := range map[string]string{
		"hi":                     `"hi"`,
		"a\x1b[2J":               `"a\x1b[2J"`,
		strings.Repeat("x", 500): `"` + strings.Repeat("x", mostQuoted) + `"...`,
	} {
		if got := quote(text); got != want {
			t.Errorf("%q is quoted %s", text, got)
		}
	}
}
