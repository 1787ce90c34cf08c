package flow

// Lost reports nothing: these plotters say nothing of themselves when they start.
func (*stream) Lost() bool { return false }

// Hear drops what comes while nothing is sent.
func (s *stream) Hear() error {
	s.w.Drop()
	return nil
}
