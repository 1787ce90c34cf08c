package terminal

import (
	"os"
	"os/signal"
	"sync"
	"syscall"
)

// Signal is what a person or the system asks of the program, apart from how it
// reaches it.
type Signal int

const (
	// Interrupt is Ctrl-C: a person at the terminal.
	Interrupt Signal = iota
	// Hangup says that the terminal was closed. The kernel and the shell may each
	// say so, hence it often comes twice.
	Hangup
	// Terminate comes from the system or from another program.
	Terminate
)

// Signals decides what signals do. The first one of any kind stops the program
// safely. A later Ctrl-C leaves at once, but no sooner than every pen is lifted.
// A later signal of another kind never cuts a [Guard] short; where nothing is guarded
// it leaves at once. Its methods may be called by any goroutine, and on nil.
type Signals struct {
	stop, leave func()

	mu      sync.Mutex
	stopped bool // the first signal has come
	hurry   bool // a Ctrl-C waits for the pens
	guards  map[*Guard]bool
}

// NewSignals returns signals of which the first calls stop, and one that is to
// leave at once calls leave. Either is called once at most.
func NewSignals(stop, leave func()) *Signals {
	return &Signals{stop: stop, leave: leave, guards: map[*Guard]bool{}}
}

// Take does what a signal asks for.
func (g *Signals) Take(s Signal) {
	if g == nil {
		return
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	switch {
	case !g.stopped:
		g.stopped = true
		g.stop()
	case s == Interrupt:
		g.hurry = true
		g.settle()
	case len(g.guards) == 0:
		g.leaveOnce()
	}
}

// settle leaves if a Ctrl-C asks for it and nothing stands against it.
func (g *Signals) settle() {
	if !g.hurry {
		return
	}
	for h := range g.guards {
		if !h.safe {
			return
		}
	}
	g.leaveOnce()
}

func (g *Signals) leaveOnce() {
	if g.leave != nil {
		g.leave()
		g.leave = nil
	}
}

// A Guard keeps the program from leaving at once, while a pen may be down or a
// folder is half written.
type Guard struct {
	of   *Signals
	safe bool // guarded by of.mu
}

// Guard begins to guard. Its Release ends it.
func (g *Signals) Guard() *Guard {
	h := &Guard{of: g}
	if g != nil {
		g.mu.Lock()
		defer g.mu.Unlock()
		g.guards[h] = true
	}
	return h
}

// Hurried reports whether a Ctrl-C waits for this guard.
func (h *Guard) Hurried() bool {
	if h.of == nil {
		return false
	}
	h.of.mu.Lock()
	defer h.of.mu.Unlock()
	return h.of.hurry
}

// Safe says that no harm is done any more by a person who leaves at once: the
// lift was sent. It may be called again.
func (h *Guard) Safe() {
	if h.of == nil {
		return
	}
	h.of.mu.Lock()
	defer h.of.mu.Unlock()
	h.safe = true
	h.of.settle()
}

// Release ends it. It may be called again.
func (h *Guard) Release() {
	if h.of == nil {
		return
	}
	h.of.mu.Lock()
	defer h.of.mu.Unlock()
	delete(h.of.guards, h)
	h.of.settle()
}

// Listen takes the signals of the process from now on. A hang-up and a
// termination are taken even where whoever started the program had them ignored,
// as a machine must not be left drawing; Ctrl-C only where it was not. Writing to
// a pipe that nobody reads becomes an error and ends nothing.
func (g *Signals) Listen() {
	signal.Ignore(syscall.SIGPIPE)
	came := make(chan os.Signal, 16)
	signal.Notify(came, syscall.SIGHUP, syscall.SIGTERM)
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGQUIT} {
		if !signal.Ignored(s) {
			signal.Notify(came, s)
		}
	}
	go func() {
		for s := range came {
			g.Take(kindOf(s))
		}
	}()
}

func kindOf(s os.Signal) Signal {
	switch s {
	case os.Interrupt:
		return Interrupt
	case syscall.SIGHUP:
		return Hangup
	}
	return Terminate
}
