package live

import (
	"io"
	"sync"
	"time"

	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/profiles"
)

// Server runs a plotter in real time, or a number of times faster, at the far
// end of a pseudo-terminal, or where the system has none, of a pipe in memory.
type Server struct {
	// Path is the pseudo-terminal's name, as [line.Open] takes it; empty
	// where the system has none.
	Path string

	serial profiles.Serial
	factor float64
	far    io.ReadWriteCloser // the machine's end
	near   func() (line.Port, error)
	shut   func()

	mu      sync.Mutex // guards the line with its plotter, and the time
	plotter sim.Plotter
	line    *sim.Line
	now     float64   // the plotter's, s
	last    time.Time // our time at the last tick
	// While the port of Open is open, the bytes in transit are counted.
	coupled             bool
	toPlotter, toSender int
	listening           bool // the sender is waiting for an answer
	end                 sync.Once
	done                chan struct{}
	idle                sync.WaitGroup
}

// Serve switches on a plotter whose time runs factor times as fast as ours; 1
// is real time, and so is a factor that is not above 0. Everything runs faster
// by the same factor, the line's baud rate too. Where the system has no
// pseudo-terminal the plotter is behind a pipe in memory, which only
// [Server.Open] reaches.
func Serve(m profiles.Machine, factor float64) *Server {
	s := newServer(m, factor)
	if !s.connect() {
		s.connectPipe()
	}
	s.begin()
	return s
}

func newServer(m profiles.Machine, factor float64) *Server {
	if !(factor > 0) {
		factor = 1
	}
	plotter := sim.New(m)
	return &Server{serial: m.Serial, factor: factor, last: time.Now(), done: make(chan struct{}),
		plotter: plotter, line: sim.NewLine(plotter, m.Serial)}
}

// begin starts the plotter's time.
func (s *Server) begin() {
	bytes := make(chan []byte)
	// Close does not wait for hear: on some systems a read does not end when the line is
	// shut.
	go s.hear(bytes)
	s.idle.Go(func() { s.run(bytes) })
}

// Open opens the server's port. Its clock runs as fast as the plotter's, so a
// sender's time-outs and predictions hold with any factor.
func (s *Server) Open() (line.Port, error) {
	p, err := s.near()
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.coupled, s.toPlotter, s.toSender = true, 0, 0
	return &hasty{p, s}, nil
}

// Cloth returns what was drawn so far.
func (s *Server) Cloth() sim.Cloth {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.plotter.Cloth()
}

// Now returns the plotter's time.
func (s *Server) Now() time.Duration {
	s.mu.Lock()
	defer s.mu.Unlock()
	return time.Duration(s.now * float64(time.Second))
}

// Home brings the plotter home with its pen up and clears its alarm, as a person at the
// machine would. It returns false for a plotter that has no such home.
func (s *Server) Home() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	c, can := s.plotter.(*sim.Controller)
	if can {
		c.Home()
	}
	return can
}

// Close switches the plotter off; whoever has its port open loses it.
func (s *Server) Close() error {
	s.end.Do(func() {
		close(s.done)
		s.shut()
	})
	s.idle.Wait()
	return nil
}

// hear passes on the bytes that arrive on the line.
func (s *Server) hear(bytes chan<- []byte) {
	buf := make([]byte, 4096)
	for {
		n, err := s.far.Read(buf)
		if n > 0 {
			select {
			case bytes <- append([]byte(nil), buf[:n]...):
			case <-s.done:
				return
			}
		}
		if err != nil {
			return
		}
	}
}

// The plotter's time passes in ticks of no more than maxTick of our time. While the port
// of Open is open it stops as long as bytes are in transit between the two ends, and as
// long as the sender is not waiting for an answer. So a busy computer delays the plotter
// and its sender's time-outs alike, at any factor.
//
// No tick of such a plotter is longer than leap in its own time. Its sender hears nothing
// of what happens within a tick, and takes a pen that it sees in the same place for 0.3 s
// for one that stands on the cloth, although it may have gone round a closed stroke.
const (
	tickEvery = 2 * time.Millisecond
	tickLeast = 50 * time.Microsecond
	maxTick   = 2 * tickEvery
	leap      = 0.2 // s
)

// tick lets the plotter's time catch up with ours; s.mu is held. Only run calls
// it, so that the plotter can act on all time that passes.
func (s *Server) tick() {
	t := time.Now()
	passed := min(t.Sub(s.last), maxTick).Seconds() * s.factor
	switch {
	case !s.coupled:
		s.now += passed
	case s.listening && s.toPlotter == 0 && s.toSender == 0:
		s.now += min(passed, leap)
	}
	s.last = t
}

// pause is how long to wait before the next tick; s.mu is held.
func (s *Server) pause() time.Duration {
	wait := tickEvery.Seconds()
	if s.coupled {
		wait = min(wait, leap/s.factor)
	}
	wait = min(wait, (s.line.Next()-s.now)/s.factor) // infinite where nothing is to come
	return max(tickLeast, time.Duration(wait*float64(time.Second)))
}

// run lets the plotter's time pass.
func (s *Server) run(bytes <-chan []byte) {
	timer := time.NewTimer(0)
	defer timer.Stop()
	var got []byte
	for {
		s.mu.Lock()
		s.tick() // before the new bytes count as arrived: until now they were in transit
		if s.coupled {
			s.toPlotter = max(0, s.toPlotter-len(got))
		}
		out := s.line.Until(s.now)
		s.line.Write(got)
		wait := s.pause()
		if s.coupled {
			s.toSender += len(out)
		}
		s.mu.Unlock()
		s.say(out)
		timer.Reset(wait)
		got = nil
		select {
		case got = <-bytes:
		case <-timer.C:
		case <-s.done:
			return
		}
	}
}

// say sends the plotter's output. Bytes that nobody reads are lost, as on a
// real line.
func (s *Server) say(out []byte) {
	if len(out) == 0 {
		return
	}
	n, _ := s.far.Write(out)
	s.count(&s.toSender, n-len(out))
}

// count counts bytes in transit while the port of Open is open.
func (s *Server) count(way *int, n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.coupled {
		*way = max(0, *way+n) // some may have left before the counting began
	}
}

// listen says whether the sender is waiting for an answer.
func (s *Server) listen(yes bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.listening = yes
}

// hasty is a port whose clock is the plotter's.
type hasty struct {
	line.Port
	server *Server
}

func (h *hasty) Now() time.Duration {
	h.server.mu.Lock()
	defer h.server.mu.Unlock()
	return time.Duration(h.server.now * float64(time.Second))
}

func (h *hasty) Read(p []byte, wait time.Duration) (int, error) {
	h.server.listen(true)
	n, err := h.Port.Read(p, time.Duration(float64(wait)/h.server.factor))
	h.server.listen(false)
	h.server.count(&h.server.toSender, -n)
	return n, err
}

func (h *hasty) Write(p []byte) (int, error) {
	h.server.count(&h.server.toPlotter, len(p))
	n, err := h.Port.Write(p)
	h.server.count(&h.server.toPlotter, n-len(p))
	return n, err
}

func (h *hasty) Close() error {
	h.server.mu.Lock()
	h.server.coupled, h.server.toPlotter, h.server.toSender = false, 0, 0
	h.server.mu.Unlock()
	return h.Port.Close()
}
