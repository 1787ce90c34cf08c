//go:build unix

package main

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/creack/pty"
	"golang.org/x/term"
)

// Asked how they are spoken to, machines answer to the manners that their
// profiles name, and none of them moves.
func TestPortsAsk(t *testing.T) {
	t.Parallel()
	for machine, flows := range map[string][]string{
		"practice":      {"line-ack"},
		"gantry-servo":  {"line-ack"},
		"gantry-z":      {"line-ack"},
		"flatbed-hpgl":  {"space-query", "enq-ack"},
		"flatbed-hpgl2": {"space-query", "enq-ack"},
		"knife-cutter":  {"space-query", "enq-ack"},
	} {
		t.Run(machine, func(t *testing.T) {
			t.Parallel()
			server := plotterOf(t, machine, 20)
			status, out, errs := weftplot(t, ".", "ports", "--ask", "--port", server.Path, "--json")
			var got []portLine
			if err := json.Unmarshal([]byte(out), &got); status != 0 || err != nil || len(got) != 1 {
				t.Fatalf("status %d, %v: %s%s", status, err, out, errs)
			}
			var found []string
			for _, a := range got[0].Answers {
				found = append(found, a.Flow)
			}
			if !slices.Equal(found, flows) || got[0].Trouble != "" {
				t.Errorf("it answers as %v, want %v; trouble %q", found, flows, got[0].Trouble)
			}
			if c := server.Cloth(); c.Drawn > 0 || c.Travelled > 0 || len(c.Strokes()) > 0 {
				t.Error("asking moved it")
			}
		})
	}
}

// A port at which nobody answers is said to be silent, one that is not there to
// be missing, and the list goes on.
func TestPortsAskNobody(t *testing.T) {
	t.Parallel()
	far, tty, err := pty.Open()
	if err != nil {
		t.Skipf("there is no pseudo-terminal here: %v", err)
	}
	t.Cleanup(func() { far.Close(); tty.Close() })
	if _, err := term.MakeRaw(int(tty.Fd())); err != nil {
		t.Fatal(err)
	}
	status, out, errs := weftplot(t, ".", "ports", "--ask", "--port", tty.Name())
	if status != 0 || !strings.Contains(out, "does not answer") {
		t.Errorf("silent: status %d, %s%s", status, out, errs)
	}
	status, out, errs = weftplot(t, ".", "ports", "--ask", "--port", "/dev/no-such-port")
	if status != 0 || !strings.Contains(out, "no such port") {
		t.Errorf("missing: status %d, %s%s", status, out, errs)
	}
}
