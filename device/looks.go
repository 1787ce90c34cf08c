package device

import (
	"fmt"

	"weftplot/device/flow"
	"weftplot/device/timeline"
)

// lookBefore checks the machine before a chunk that would mark the cloth if the
// machine were not as it should be: that the pen is where a stroke begins before
// it is lowered, that it is up before it travels, and that it was down in a stroke
// too short to be seen meanwhile. It does nothing for machines that do not say
// where they are. The chunk takes the work from one moment to the other.
func (s *sender) lookBefore(from, to timeline.Moment) error {
	f := s.leg.flow
	place, pen := f.Sees()
	if !place {
		return nil
	}
	switch {
	case to.Down && !from.Down:
	case pen && from.Down && !to.Down:
		s.lifted = true
		return f.SeeDown(from.Stroke, s.due.Busy)
	case s.lifted && to.At != from.At:
	default:
		return nil
	}
	s.lifted = false
	if err := f.Settle(); err != nil {
		return err
	}
	// The disk is not asked for every little stroke.
	if from.Down || !s.provable() {
		return nil
	}
	return s.noteProved(from)
}

// strayWords names the stray line that may be on the cloth after a machine was
// halted off its route; it is empty if there is none.
func (s *sender) strayWords(st *flow.Stray) string {
	if st.Unseen {
		return "; stray lines of any length may be on the cloth: the machine does not say where it goes"
	}
	if !st.Down {
		return ""
	}
	longest := float64(s.job.Machine.Speed.Draw) * (st.Until - st.When).Seconds()
	at, known := s.leg.flow.Where()
	if !known {
		return fmt.Sprintf("; a stray line of up to %.1f mm may be on the cloth, from %.1f, %.1f: the machine does not say where it is", longest, st.Last.X, st.Last.Y)
	}
	longest = max(at.Dist(st.Last), longest)
	return fmt.Sprintf("; a stray line of up to %.1f mm may be on the cloth, from %.1f, %.1f to %.1f, %.1f",
		longest, st.Last.X, st.Last.Y, at.X, at.Y)
}
