package main

import (
	"os"
	"sync"

	"golang.org/x/term"
)

// terminal puts the person's terminal back as it was found. It may be told to
// again and again, and by any goroutine: whoever ends the program does.
type terminal struct {
	mu    sync.Mutex
	fd    int
	found *term.State // nil while nothing is changed
}

// take makes the terminal hand over keys one by one.
func (t *terminal) take(f *os.File) error {
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

// restore puts the terminal back.
func (t *terminal) restore() {
	if t == nil {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.putBack()
}

func (t *terminal) putBack() {
	if t.found != nil {
		_ = term.Restore(t.fd, t.found) // a terminal that is gone needs no putting back
		t.found = nil
	}
}
