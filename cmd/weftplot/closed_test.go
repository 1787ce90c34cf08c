//go:build unix

package main

import (
	"flag"
	"os/exec"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

var closed = flag.Int("closed", 5, "terminals that are closed, or interrupted, while a pen is down")

// partings are the ways in which a person or a system ends a program at a terminal.
var partings = []struct {
	name string
	do   func(*person, *exec.Cmd)
}{
	{"the terminal is closed, and its shell hangs up too", func(p *person, c *exec.Cmd) {
		p.far.Close()
		c.Process.Signal(unix.SIGHUP)
	}},
	{"two hang-ups", func(_ *person, c *exec.Cmd) {
		c.Process.Signal(unix.SIGHUP)
		time.Sleep(time.Millisecond)
		c.Process.Signal(unix.SIGHUP)
	}},
	{"a hang-up and a termination", func(_ *person, c *exec.Cmd) {
		c.Process.Signal(unix.SIGHUP)
		c.Process.Signal(unix.SIGTERM)
	}},
	{"two Ctrl-C, 20 ms apart", func(p *person, _ *exec.Cmd) {
		p.press("\x03")
		time.Sleep(20 * time.Millisecond)
		p.press("\x03")
	}},
	{"the terminal is closed", func(p *person, _ *exec.Cmd) { p.far.Close() }},
}

// However a terminal goes while the pen is down, the pen is lifted.
func TestClosedTerminals(t *testing.T) {
	machines := []string{"gantry-servo", "gantry-z", "flatbed-hpgl", "flatbed-hpgl2"}
	dirs := map[string]string{}
	for i := range *closed {
		machine, parting := machines[i/len(partings)%len(machines)], partings[i%len(partings)]
		if dirs[machine] == "" {
			dirs[machine] = combJob(t, machine)
		}
		server := plotterOf(t, machine, 2)
		p := newPerson(t)
		cmd := p.start(dirs[machine], "send", "job", "--port", server.Path, "--yes", "--anew")
		down := func() bool { c := server.Cloth(); return c.Down && len(c.Strokes()) > 1 }
		if !awaitCloth(down) {
			t.Fatalf("%d, %s: the pen never came down: %q", i, machine, p.shown())
		}
		parting.do(p, cmd)
		cmd.Wait()
		if !awaitCloth(func() bool { return !server.Cloth().Down }) {
			t.Errorf("%d, %s, %s: the pen is left down, %v: %q", i, machine, parting.name, cmd.ProcessState, p.shown())
		}
		server.Close()
	}
}

// awaitCloth waits for something to be so on a plotter's cloth, and reports
// whether it came to be within a minute.
func awaitCloth(so func() bool) bool {
	for deadline := time.Now().Add(time.Minute); !so(); time.Sleep(2 * time.Millisecond) {
		if time.Now().After(deadline) {
			return false
		}
	}
	return true
}
