package terminal_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/cmd/weftplot/terminal"
	_ "weftplot/paths/samecases"
)

// Every row is what happens, in order: ^C, HUP and TERM are signals, guard, safe
// and release are of one guard. "stop" and "leave" stand where these happen.
func TestSignals(t *testing.T) {
	for _, row := range []struct{ events, want string }{
		{"^C", "^C stop"},
		{"HUP", "HUP stop"},
		{"TERM", "TERM stop"},
		{"^C ^C", "^C stop ^C leave"},
		{"TERM TERM", "TERM stop TERM leave"},
		{"guard ^C ^C safe release", "guard ^C stop ^C safe leave release"},
		{"guard ^C safe ^C release", "guard ^C stop safe ^C leave release"},
		{"guard ^C ^C release", "guard ^C stop ^C release leave"},
		{"guard HUP HUP safe release", "guard HUP stop HUP safe release"},
		{"guard HUP TERM safe TERM release", "guard HUP stop TERM safe TERM release"},
		{"guard TERM HUP ^C safe release", "guard TERM stop HUP ^C safe leave release"},
		{"guard HUP HUP HUP TERM TERM", "guard HUP stop HUP HUP TERM TERM"},
		{"guard release HUP HUP", "guard release HUP stop HUP leave"},
		{"guard HUP safe release", "guard HUP stop safe release"},
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
		got := play(append([]string{"guard"}, events...))
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
	var h *terminal.Guard
	for _, e := range events {
		log = append(log, e)
		switch e {
		case "^C":
			g.Take(terminal.Interrupt)
		case "HUP":
			g.Take(terminal.Hangup)
		case "TERM":
			g.Take(terminal.Terminate)
		case "guard":
			h = g.Guard()
		case "safe":
			h.Safe()
		case "release":
			h.Release()
		}
	}
	return strings.Join(log, " ")
}
