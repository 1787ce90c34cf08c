// Package terminal is the person's side of the command line: the streams that a
// command reads and writes, single keys, and the progress bar. It is for a command
// line program that runs at a terminal or without one, and knows no machine.
//
// What is asked for goes to the standard output, progress, questions and warnings
// to the standard error.
package terminal

import (
	"os"
	"sync"

	"golang.org/x/term"
)

// Terminal puts the person's terminal back as it was found. Restore may be called
// several times and by any goroutine, as several places can end the program.
type Terminal struct {
	mu    sync.Mutex
	fd    int
	found *term.State // nil while nothing is changed
}

// take sets the terminal to hand over keys one by one.
func (t *Terminal) take(f *os.File) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	fd := int(f.Fd())
	found, err := term.GetState(fd)
	if err != nil {
		return err
	}
	t.fd, t.found = fd, found
	if err := keysOneByOne(fd); err != nil {
		t.putBack()
		return err
	}
	return nil
}

// Restore puts the terminal back.
func (t *Terminal) Restore() {
	if t == nil {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.putBack()
}

func (t *Terminal) putBack() {
	if t.found != nil {
		_ = term.Restore(t.fd, t.found) // a terminal that is gone needs no putting back
		t.found = nil
	}
}
