package terminal_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/cmd/weftplot/terminal"
)

// Every row is what happens, in order: ^C, HUP and TERM are signals, hold, safe
// and release are of one hold. "stop" and "leave" stand where these happen.
func TestSignals(t *testing.T) {
	for _, row := range []struct{ events, want string }{
		{"^C", "^C stop"},
		{"HUP", "HUP stop"},
		{"TERM", "TERM stop"},
		{"^C ^C", "^C stop ^C leave"},
		{"TERM TERM", "TERM stop TERM leave"},
		{"hold ^C ^C safe release", "hold ^C stop ^C safe leave release"},
		{"hold ^C safe ^C release", "hold ^C stop safe ^C leave release"},
		{"hold ^C ^C release", "hold ^C stop ^C release leave"},
		{"hold HUP HUP safe release", "hold HUP stop HUP safe release"},
		{"hold HUP TERM safe TERM release", "hold HUP stop TERM safe TERM release"},
		{"hold TERM HUP ^C safe release", "hold TERM stop HUP ^C safe leave release"},
		{"hold HUP HUP HUP TERM TERM", "hold HUP stop HUP HUP TERM TERM"},
		{"hold release HUP HUP", "hold release HUP stop HUP leave"},
		{"hold HUP safe release", "hold HUP stop safe release"},
		{"^C ^C ^C", "^C stop ^C leave ^C"},
	} {
		if got := play(strings.Fields(row.events)); got != row.want {
			t.Errorf("%s: %s, want %s", row.events, got, row.want)
		}
	}
}

// Whatever signals come, the first one stops, and while a pen may be down none
// leaves.
func TestSignalsNeverLeaveThePen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := rapid.SliceOf(rapid.SampledFrom([]string{"^C", "HUP", "TERM"})).Draw(t, "signals")
		got := play(append([]string{"hold"}, events...))
		if strings.Contains(got, "leave") {
			t.Fatalf("left with the pen down: %s", got)
		}
		if strings.Contains(got, "stop") != (len(events) > 0) {
			t.Fatalf("not stopped: %s", got)
		}
	})
}

func play(events []string) string {
	var log []string
	g := terminal.NewSignals(func() { log = append(log, "stop") }, func() { log = append(log, "leave") })
	var h *terminal.Hold
	for _, e := range events {
		log = append(log, e)
		switch e {
		case "^C":
			g.Take(terminal.Interrupt)
		case "HUP":
			g.Take(terminal.Hangup)
		case "TERM":
			g.Take(terminal.Terminate)
		case "hold":
			h = g.Hold()
		case "safe":
			h.Safe()
		case "release":
			h.Release()
		}
	}
	return strings.Join(log, " ")
}
