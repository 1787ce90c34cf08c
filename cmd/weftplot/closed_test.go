//go:build unix

package main

import (
	"flag"
	"fmt"
	"os"
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
		// A journal is of one job: cases of one machine may not share a folder.
		dir := t.TempDir()
		if err := os.CopyFS(dir, os.DirFS(dirs[machine])); err != nil {
			t.Fatal(err)
		}
		t.Run(fmt.Sprintf("%d %s", i, machine), func(t *testing.T) {
			t.Parallel()
			// A computer that is too busy for the plotter makes a sender give up.
			for tries := 0; !part(t, dir, machine, parting.name, parting.do); tries++ {
				if tries == 5 {
					t.Fatal("the pen never came down")
				}
			}
		})
	}
}

// part sends a job and ends the program in some way once its pen is down. It
// reports false when the program ended before, with the pen up.
func part(t *testing.T, dir, machine, name string, do func(*person, *exec.Cmd)) bool {
	server := plotterOf(t, machine, 2)
	defer server.Close()
	p := newPerson(t)
	cmd := p.start(dir, "send", "job", "--port", server.Path, "--yes", "--anew")
	ended := make(chan struct{})
	go func() { cmd.Wait(); close(ended) }()
	over := func() bool {
		select {
		case <-ended:
			return true
		default:
			return false
		}
	}
	down := func() bool { c := server.Cloth(); return c.Down && len(c.Strokes()) > 1 }
	came := awaitCloth(func() bool { return down() || over() })
	switch {
	case !came:
		t.Fatalf("%s: the pen never came down: %q", name, p.shown())
	case !over():
		do(p, cmd)
		<-ended
	case !server.Cloth().Down:
		t.Logf("the sender gave up: %q", p.shown())
		return false
	}
	if !awaitCloth(func() bool { return !server.Cloth().Down }) {
		t.Errorf("%s: the pen is left down, %v: %q", name, cmd.ProcessState, p.shown())
	}
	return true
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
