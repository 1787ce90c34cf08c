package live

import (
	"errors"
	"io"
	"sync"
	"time"

	"weftplot/device/line"
)

// pipe is a line in memory, for systems without pseudo-terminals: the near end
// is a port, the far end what a server reads and writes.
type pipe struct {
	down chan []byte // to the machine
	up   chan []byte // from it
	rest []byte      // read from up and not yet used
	far  []byte      // read from down and not yet used
	born time.Time
	off  chan struct{}
	once sync.Once
}

var errHungUp = errors.New("hung up")

func newPipe() *pipe {
	return &pipe{down: make(chan []byte, 64), up: make(chan []byte, 64), born: time.Now(), off: make(chan struct{})}
}

func (p *pipe) hangUp() { p.once.Do(func() { close(p.off) }) }

// nearEnd is the port; closing it leaves the machine running.
type nearEnd struct{ *pipe }

var _ line.Port = nearEnd{}

func (e nearEnd) Now() time.Duration { return time.Since(e.born) }
func (e nearEnd) Close() error       { return nil }

func (e nearEnd) Read(p []byte, wait time.Duration) (int, error) {
	if len(e.rest) == 0 {
		select {
		case e.pipe.rest = <-e.up:
		case <-e.off:
			return 0, errHungUp
		case <-time.After(wait):
			return 0, nil
		}
	}
	n := copy(p, e.rest)
	e.pipe.rest = e.rest[n:]
	return n, nil
}

func (e nearEnd) Write(p []byte) (int, error) {
	select {
	case e.down <- append([]byte(nil), p...):
		return len(p), nil
	case <-e.off:
		return 0, errHungUp
	}
}

// farEnd is the end of the machine.
type farEnd struct{ *pipe }

func (e farEnd) Close() error { e.hangUp(); return nil }

func (e farEnd) Read(p []byte) (int, error) {
	if len(e.far) == 0 {
		select {
		case e.pipe.far = <-e.down:
		case <-e.off:
			return 0, io.EOF
		}
	}
	n := copy(p, e.far)
	e.pipe.far = e.far[n:]
	return n, nil
}

func (e farEnd) Write(p []byte) (int, error) {
	select {
	case e.up <- append([]byte(nil), p...):
	default: // nobody reads: the bytes are lost
	}
	return len(p), nil
}

// connectPipe puts the server behind a pipe.
func (s *Server) connectPipe() {
	p := newPipe()
	s.far, s.shut = farEnd{p}, p.hangUp
	s.near = func() (line.Port, error) { return nearEnd{p}, nil }
}
