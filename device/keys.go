package device

import (
	"context"
	"errors"
	"fmt"
	"time"

	"weftplot/device/flow"
	"weftplot/device/line"
	"weftplot/device/timeline"
	"weftplot/paths/fault"
)

// Key is what the person at the machine asks for during a job, as by a key press.
type Key int

const (
	// Hold lifts the pen at the end of the stroke if that is reached within 2 s,
	// and otherwise where the pen is.
	Hold Key = iota + 1
	// Lift stops at once and lifts the pen where it is.
	Lift
	// Resume goes on after either, from the exact place where the machine says
	// that it stopped; without that, from the beginning of the stroke.
	Resume
	// Stop ends the job, pen up.
	Stop
)

// soonUp is how long a stroke may still take to be drawn to its end after a hold
// is asked for.
const soonUp = 2 * time.Second

var (
	errHoldKey = errors.New("the person asks for a hold")
	// A stop by key is treated as an interrupt of the whole command is.
	errStopKey = fmt.Errorf("the person asks for a stop: %w", context.Canceled)
)

// keys are requests that were not carried out yet.
type keys struct {
	now   bool // hold at once
	soon  bool // hold when the pen is next up
	stop  bool
	going bool // resume
}

// pressed takes in the keys that were pressed since the last call.
func (s *sender) pressed() {
	for {
		select {
		case k, open := <-s.opt.Keys:
			if !open {
				s.opt.Keys = nil
				return
			}
			s.press(k)
		default:
			return
		}
	}
}

func (s *sender) press(k Key) {
	switch k {
	case Stop:
		s.keys.stop = true
	case Resume:
		s.keys = keys{going: true}
	case Lift:
		s.keys.now = true
	case Hold:
		s.keys.soon = true
		s.keys.now = s.upIn() > soonUp
	}
}

// upIn returns how long it will take until the pen is next up, of what is sent.
func (s *sender) upIn() time.Duration {
	now := s.leg.timeline.At(s.due.At(s.w.Now())).Seconds
	sent := s.leg.flow.Written()
	for _, m := range s.leg.timeline.Moments {
		if m.End >= sent && (!m.Down || m.Lifts) {
			return flow.Seconds(m.Seconds - now)
		}
	}
	return 0
}

// interrupted returns an error when the job is not to go on now: ctx has ended,
// or a key asks for it. It is asked wherever something waits.
func (s *sender) interrupted() error {
	if err := s.ctx.Err(); err != nil {
		return err
	}
	s.pressed()
	switch {
	case s.keys.stop:
		return errStopKey
	case s.keys.now && s.state == Drawing:
		return errHoldKey
	}
	return nil
}

// holdAt holds here, at the end of a stroke, if that was asked for.
func (s *sender) holdAt(m timeline.Moment) error {
	if !s.keys.soon {
		return nil
	}
	if up, err := s.rest(m); err != nil || !up {
		return err
	}
	return s.waitForResume()
}

// waitForResume waits, pen up, until the person goes on or ends the job.
func (s *sender) waitForResume() error {
	s.state = Waiting
	s.keys.now, s.keys.soon, s.keys.going = false, false, false
	s.show()
	for !s.keys.going {
		if _, err := s.w.Read(s.w.Now() + line.Slice); err != nil {
			return err
		}
		if err := s.leg.flow.Hear(); err != nil {
			return err
		}
	}
	s.state, s.keys = Drawing, keys{}
	return nil
}

// detour stops in mid-stroke, lifts the pen, waits, and makes what is left from
// the exact place the next leg. Where the place is not known the stroke is begun
// anew.
func (s *sender) detour() error {
	s.state = Stopping
	s.show()
	stop := s.w.Stop
	s.w.Stop = nil
	state := s.leg.flow.Halt()
	s.w.Stop = stop
	if state == flow.PenUnknown {
		return &fault.Error{Kind: Silent, What: "the machine did not stop when it was told to", Do: "use its own stop switch"}
	}
	if s.leg.flow.Lost() {
		return &fault.Error{Kind: Restarted, What: "the machine restarted while it was held: it no longer knows where it is", Do: "look at its power supply"}
	}
	rest, n, err := s.left()
	if err != nil {
		return err
	}
	if err := s.waitForResume(); err != nil {
		return err
	}
	return s.load(rest, n)
}

// left returns the job that is left where the machine stands, and how many
// strokes were begun before it.
func (s *sender) left() (Job, int, error) {
	before, m := s.leg.before.Stroke, s.leg.job.Machine
	first, last := s.blocksUnderWay()
	if at, ok := s.leg.flow.Where(); ok {
		if p, n, found := reentry(s.leg.job.Program, first, last, at); found {
			job, err := rewritten(m, p)
			return job, before + n, err
		}
	}
	n := max(0, begun(s.leg.job.Program, first+1)-1)
	job, err := rewritten(m, remainder(s.leg.job.Program, n))
	return job, before + n, err
}
