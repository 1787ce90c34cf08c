package streamed

import (
	"time"

	"weftplot/device/flow"
)

// An adapter, a driver or a network between computer and plotter may hold back every
// byte. How late answers come over such a line is measured while the plotter has
// nothing else to do, and allowed for wherever an answer is waited for.

// again is how long an answer may take of a plotter that has nothing to do before it
// counts as lost.
func (s *stream) again() time.Duration { return askAgain + s.late }

// soonest returns when what is written now begins to leave.
func (s *stream) soonest() time.Duration { return max(s.w.Left(), s.w.Now()) }

// lateness returns how late the answer is that has come now, of so many bytes, to a
// question that left at a time: beyond what the line takes for its bytes.
func (s *stream) lateness(left time.Duration, bytes int) time.Duration {
	return max(0, s.w.Now()-left-time.Duration(bytes)*s.w.PerByte)
}

// unproved returns how long what was written up to an offset, and may not be done
// yet, should take.
func (s *stream) unproved(end int) time.Duration {
	done := max(0, end-s.size-deepQueue, s.places.seen.end)
	return flow.Seconds(max(0, s.timeline.At(end).Seconds-s.timeline.At(done).Seconds))
}

// slowest is how many times as long as predicted a plotter may take: a person may
// turn its feed down to half (common practice), and it is no exact clock.
const slowest = 2.2

// atSlowest returns how long work may take at the most.
func atSlowest(work time.Duration) time.Duration { return time.Duration(slowest * float64(work)) }

// xoffRoom is how many bytes fit, by the time that a plotter says stop, besides those
// that are on their way on a line that is not late.
const xoffRoom = xoffLevel - 32

// outrun reports whether so many bytes come to the plotter before its word to stop is
// heard that they may not fit.
func (s *stream) outrun() bool { return s.late > xoffRoom*s.w.PerByte }

// surely waits until n bytes fit by what the plotter told of its place: it holds no
// more than was written after that. It reports false at once of one that does not
// tell, or has answered all that it was asked.
func (s *stream) surely(n int) (bool, error) {
	const spare = 32 // bytes, for what is put in between
	p := &s.places
	for {
		tells := p.answered && (s.trusted || p.unfit == nil)
		if tells && s.last-p.seen.end+s.asking()+n+spare <= s.size {
			return true, nil
		}
		if !tells || len(p.open) == 0 {
			return false, nil
		}
		if err := s.read(s.w.Now() + flow.PollEvery); err != nil {
			return false, err
		}
	}
}
