package device

import "fmt"

// lookBefore finds out, where the machine tells, that all is as it should be
// before a piece that would mark the cloth if it is not: that the pen stands
// where a stroke begins before it is lowered, that it is up before it travels,
// and that it was down in a stroke too brief to be seen on the way. The piece
// takes the work from one mark to the next.
func (s *sender) lookBefore(from, to mark) error {
	f := s.leg.flow
	place, pen := f.sees()
	if !place {
		return nil
	}
	switch {
	case to.down && !from.down:
	case pen && from.down && !to.down:
		s.lifted = true
		return f.seeDown(from.stroke, s.guess.busy)
	case s.lifted && to.at != from.at:
	default:
		return nil
	}
	s.lifted = false
	if err := f.settle(); err != nil {
		return err
	}
	// The disk is not asked for every little stroke.
	if from.down || !s.provable() {
		return nil
	}
	return s.noteProved(from)
}

// strayWords say what may be on the cloth that should not, for a machine that
// was halted off its way.
func (s *sender) strayWords(st *straying) string {
	at, known := s.leg.flow.where()
	if !st.down || !known {
		return ""
	}
	v := float64(s.job.Machine.Speed.Draw)
	longest := max(at.Dist(st.last), v*(st.until-st.when).Seconds())
	return fmt.Sprintf("; a stray line of up to %.1f mm may be on the cloth, from %.1f, %.1f to %.1f, %.1f",
		longest, st.last.X, st.last.Y, at.X, at.Y)
}
