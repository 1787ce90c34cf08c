package streamed

// xonXoff stops at one character and goes on at another. Bytes that were handed
// to the driver cannot be called back, so no more than a few are on their way at
// any time, and a stop takes effect at once.
type xonXoff struct {
	setUp   bool // say so to the plotter first
	stopped bool
	heard   bool // the plotter said either at least once
	granted int  // how often it went on without being told
}

const (
	xon  = 17
	xoff = 19
	// xonLevel is how many bytes are held when Xon is said: 7470A, 10-20.
	xonLevel = 128
)

// open tells an HP-GL plotter which characters we listen for: HP 7470A
// Interfacing and Programming Manual, page 10-30. A plotter whose switches say
// so already takes no harm.
func (x *xonXoff) open(s *stream) error {
	s.w.Signal = func(b byte) bool {
		if b != xon && b != xoff {
			return false
		}
		x.stopped, x.heard, x.granted = b == xoff, true, 0
		return true
	}
	if !x.setUp {
		return nil
	}
	return s.w.Write([]byte("\x1b.I80;;17:\x1b.N;19:"))
}

func (*xonXoff) burst(*stream) int { return 16 }

func (*xonXoff) rest(*stream) error { return nil }

func (x *xonXoff) room(s *stream, n int) error {
	for {
		if err := s.pace(16); err != nil {
			return err
		}
		if !x.stopped && !x.heard && !s.talks && !s.answersLines() {
			return s.foretold(n) // its line may lead nowhere
		}
		if !x.stopped {
			return nil
		}
		ok, err := s.await(s.soon(), func() bool { return !x.stopped || s.holds() < xonLevel })
		if err != nil {
			return err
		}
		// It must be all but empty by now, and a word of its own was lost, or was
		// none of its own. At least 80 bytes fit whenever it stops us.
		if x.granted++; x.stopped && x.granted <= 3 {
			x.stopped = false
			continue
		}
		if !ok || s.w.Hurried() {
			return s.silent(s.soon() + askAgain)
		}
	}
}
