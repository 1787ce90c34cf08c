package device

import "time"

// wire is a port with what came on it and was not used yet. All waiting of the
// package happens in its methods, so that is where a stop on request is seen
// and where the person at the machine is kept informed.
type wire struct {
	port Port
	in   []byte
	tick func()       // called often while waiting; may be nil
	stop func() error // asked as often: an error ends the wait; may be nil
	// signal is shown every byte that comes and keeps those that are none of an
	// answer; may be nil.
	signal func(b byte) bool
	// left is when all bytes written will have left, going by the baud rate.
	left    time.Duration
	perByte time.Duration
	sent    int  // bytes written
	babble  bool // something came that no machine says: it hints at a wrong baud rate
}

func newWire(port Port, baud int) *wire {
	return &wire{port: port, perByte: 10 * time.Second / time.Duration(baud)} // 8 bits, start and stop
}

func (w *wire) now() time.Duration { return w.port.Now() }

// slice bounds a single wait, so that a stop on request is seen in time.
const slice = 50 * time.Millisecond

// maxPending bounds what is kept of a machine that chatters without end.
const maxPending = 1 << 16

// read waits for bytes until deadline and keeps them. It reports whether any
// came.
func (w *wire) read(deadline time.Duration) (bool, error) {
	var buf [256]byte
	for {
		if w.tick != nil {
			w.tick()
		}
		if err := w.halted(); err != nil {
			return false, err
		}
		wait := deadline - w.now()
		n, err := w.port.Read(buf[:], max(0, min(wait, slice)))
		if err != nil {
			return false, err
		}
		if n > 0 {
			for _, b := range buf[:n] {
				w.babble = w.babble || b >= 0x7f
				if w.signal == nil || !w.signal(b) {
					w.in = append(w.in, b)
				}
			}
			if len(w.in) > maxPending {
				w.in = w.in[len(w.in)-maxPending:]
			}
			return true, nil
		}
		if wait <= slice {
			return false, nil
		}
	}
}

// halted returns the error that ends all waiting, if there is one.
func (w *wire) halted() error {
	if w.stop == nil {
		return nil
	}
	return w.stop()
}

// quiet waits until nothing has come for gap, or deadline has passed.
func (w *wire) quiet(gap, deadline time.Duration) error {
	for {
		came, err := w.read(min(w.now()+gap, deadline))
		if err != nil || !came || w.now() >= deadline {
			return err
		}
	}
}

// write hands bytes to the line.
func (w *wire) write(p []byte) error {
	w.left = max(w.left, w.now()) + time.Duration(len(p))*w.perByte
	n, err := w.port.Write(p)
	w.sent += n
	return err
}

// line takes the first whole line out of what came, without its end.
func (w *wire) line() (string, bool) { return w.upTo('\n', '\r') }

// upTo takes what came before the first of the ends, and the end. Empty pieces
// are skipped: they are the second half of a double end.
func (w *wire) upTo(ends ...byte) (string, bool) {
	start := 0
	for i, b := range w.in {
		for _, e := range ends {
			if b != e {
				continue
			}
			if i == start {
				start = i + 1
				break
			}
			s := string(w.in[start:i])
			w.in = w.in[i+1:]
			return s, true
		}
	}
	w.in = w.in[start:]
	return "", false
}

// pluck takes the whole lines out of what came that take says it has taken.
func (w *wire) pluck(take func(line string) bool) {
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
