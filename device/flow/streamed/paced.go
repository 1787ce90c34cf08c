package streamed

// paced feeds a plotter that says nothing: bytes go out no faster than it is
// predicted to work them off, and then a tenth slower.
type paced struct{}

func (*paced) open(*stream) error { return nil }

func (*paced) rest(*stream) error { return nil }

func (*paced) burst(s *stream) int { return min(32, s.size/8) }

func (*paced) room(s *stream, n int) error {
	if err := s.pace(16); err != nil {
		return err
	}
	if err := s.foretold(n); err != nil {
		return err
	}
	_, err := s.surely(n)
	return err
}

// foretold waits until no more than three quarters of the buffer are predicted to
// be filled.
func (s *stream) foretold(n int) error {
	for {
		held := s.last + n + s.asking() - s.due.At(s.w.Now())
		next, waits := s.due.Next()
		if held <= s.size*3/4 || !waits {
			return nil
		}
		if err := s.read(next); err != nil {
			return err
		}
	}
}
