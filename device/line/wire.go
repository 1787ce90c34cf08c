package line

import (
	"slices"
	"time"
)

// Wire is a port together with what was received on it and not used yet. A job
// waits only in its methods; there it notices a request to stop, and there the
// person at the machine is kept informed.
type Wire struct {
	// Tick is called often while something waits; may be nil.
	Tick func()
	// Stop is called as often; an error from it ends the wait. May be nil.
	Stop func() error
	// Hurry reports whether whoever stops a job waits no longer for what the
	// machine still holds; may be nil. A halt looks at it.
	Hurry func() bool
	// Signal is called with every byte received. It returns true for a byte
	// that is not part of an answer, which is then dropped. May be nil.
	Signal func(b byte) bool
	// PerByte is how long a byte takes on the line, at 8 data bits, one start
	// and one stop bit.
	PerByte time.Duration

	port   Port
	in     []byte
	left   time.Duration
	sent   int
	babble bool
}

// NewWire returns the wire of a port that runs at the baud rate.
func NewWire(port Port, baud int) *Wire {
	return &Wire{port: port, PerByte: 10 * time.Second / time.Duration(baud)}
}

// Now returns the time on the port's clock.
func (w *Wire) Now() time.Duration { return w.port.Now() }

// Left returns when all bytes written will have left, going by the baud rate.
func (w *Wire) Left() time.Duration { return w.left }

// Sent returns how many bytes were written.
func (w *Wire) Sent() int { return w.sent }

// Babble reports whether, since the last [Wire.Forget], a byte was received
// that no machine sends at the right baud rate.
func (w *Wire) Babble() bool { return w.babble }

// Forget drops all that was received, and resets [Wire.Babble].
func (w *Wire) Forget() { w.in, w.babble = nil, false }

// Drop drops all that was received.
func (w *Wire) Drop() { w.in = nil }

// Pending returns what was received and not used; it is valid until the next
// call.
func (w *Wire) Pending() []byte { return w.in }

// Slice bounds a single wait, so that a request to stop is seen in time.
const Slice = 50 * time.Millisecond

// maxPending bounds what is kept from a machine that never stops sending, in
// bytes.
const maxPending = 1 << 16

// Read waits for bytes until deadline and keeps them. It reports whether any
// arrived. The error is that of [Wire.Stop] or of the port.
func (w *Wire) Read(deadline time.Duration) (bool, error) {
	for {
		if w.Tick != nil {
			w.Tick()
		}
		if err := w.Halted(); err != nil {
			return false, err
		}
		wait := deadline - w.Now()
		came, err := w.readOnce(min(wait, Slice))
		if err != nil || came || wait <= Slice {
			return came, err
		}
	}
}

// readOnce waits once and keeps what arrived.
func (w *Wire) readOnce(wait time.Duration) (bool, error) {
	var buf [256]byte
	n, err := w.port.Read(buf[:], max(0, wait))
	if err != nil || n == 0 {
		return false, err
	}
	for _, b := range buf[:n] {
		w.babble = w.babble || b >= 0x7f
		if w.Signal == nil || !w.Signal(b) {
			w.in = append(w.in, b)
		}
	}
	if len(w.in) > maxPending {
		w.in = w.in[len(w.in)-maxPending:]
	}
	return true, nil
}

// Halted returns the error that ends all waiting, if there is one.
func (w *Wire) Halted() error {
	if w.Stop == nil {
		return nil
	}
	return w.Stop()
}

// Hurried reports whether nobody waits any longer for what the machine holds.
func (w *Wire) Hurried() bool { return w.Hurry != nil && w.Hurry() }

// Quiet waits until nothing has arrived for gap, or deadline has passed.
func (w *Wire) Quiet(gap, deadline time.Duration) error {
	for {
		came, err := w.Read(min(w.Now()+gap, deadline))
		if err != nil || !came || w.Now() >= deadline {
			return err
		}
	}
}

// Write passes bytes to the line.
func (w *Wire) Write(p []byte) error {
	w.left = max(w.left, w.Now()) + time.Duration(len(p))*w.PerByte
	n, err := w.port.Write(p)
	w.sent += n
	return err
}

// Line removes the first whole line from what was received, and returns it
// without its end.
func (w *Wire) Line() (string, bool) { return w.UpTo('\n', '\r') }

// UpTo removes what was received up to and including the first of the ends, and
// returns it without the end. Empty parts are skipped: they are the second half
// of a double end.
func (w *Wire) UpTo(ends ...byte) (string, bool) {
	start := 0
	for i, b := range w.in {
		if !slices.Contains(ends, b) {
			continue
		}
		if i == start {
			start = i + 1
			continue
		}
		s := string(w.in[start:i])
		w.in = w.in[i+1:]
		return s, true
	}
	w.in = w.in[start:]
	return "", false
}

// Pluck removes from what was received the whole lines for which take returns
// true.
func (w *Wire) Pluck(take func(line string) bool) {
	var kept []byte
	start := 0
	for i, b := range w.in {
		if b != '\r' && b != '\n' {
			continue
		}
		if !take(string(w.in[start:i])) {
			kept = append(kept, w.in[start:i+1]...)
		}
		start = i + 1
	}
	w.in = append(kept, w.in[start:]...)
}
