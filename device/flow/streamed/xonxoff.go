package streamed

import "fmt"

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
	// xoffLevel is how many still fit when Xoff is said, as open sets it.
	xoffLevel = 80
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
	return s.w.Write(fmt.Appendf(nil, "\x1b.I%d;;%d:\x1b.N;%d:", xoffLevel, xon, xoff))
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
			if err := x.outpaces(s, n); err != nil {
				return err
			}
		}
		if !x.stopped {
			return nil
		}
		limit := atSlowest(max(0, s.due.Busy-s.w.Now())) + s.again()
		ok, err := s.await(limit, func() bool { return !x.stopped || s.holds() < xonLevel })
		if err != nil {
			return err
		}
		if ok { // all but empty, if it did not say so: a word of its own was lost
			x.stopped = false
			continue
		}
		// It must be all but empty by now, and a word of its own was lost, or was
		// none of its own. At least 80 bytes fit whenever it stops us.
		if x.granted++; x.granted > 3 || s.w.Hurried() {
			return s.silent(limit)
		}
		x.stopped = false
	}
}

// outpaces waits until n bytes fit by what is known but for the plotter's word to
// stop, which may be late: by what it told that it has done, and by the prediction
// where the line is known to be late and nothing else tells.
func (*xonXoff) outpaces(s *stream, n int) error {
	s.counted = s.outrun()
	fits, err := s.surely(n)
	if err == nil && !fits && s.counted {
		err = s.foretold(n)
	}
	return err
}
