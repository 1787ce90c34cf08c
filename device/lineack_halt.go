package device

import (
	"errors"
	"math"
	"strings"
	"time"

	"weftplot/paths"
)

// How a machine can be left.
const (
	penLifted  = "the machine was stopped and the pen lifted"
	penUnknown = "the machine could not be told to lift the pen"

	liftByHand = "the pen may be down: lift it by hand"
)

// halt holds the motion, empties the controller's queue by a reset once nothing
// moves, and lifts the pen. A controller that knows no such bytes is only fed
// no more: it runs through the little that it holds, and lifts then.
func (l *lineAck) halt() string {
	stop := l.runOut
	if l.live {
		stop = l.drop
	}
	l.status.hasAt = false
	if stop() != nil {
		return penUnknown
	}
	state := penUnknown
	for range 2 { // a line may be garbled here as anywhere
		if state = l.liftPen(); state == penLifted {
			break
		}
	}
	return state
}

// liftPen lifts the pen of a machine that stands. To one that does not answer
// the lines are sent all the same.
func (l *lineAck) liftPen() string {
	const atRest = 200 * time.Millisecond // to answer a line that waits for nothing
	state := penLifted
	lines := append([]string{"G21", "G90"}, l.job.Machine.Lift.Up...)
	limit := atRest
	for _, line := range lines {
		if strings.HasPrefix(line, "G4") {
			limit = replyTime + seconds(2*float64(l.job.Machine.Lift.UpTime))
		}
		if l.plain(line, limit) != nil {
			state, limit = penUnknown, pollAgain
		}
	}
	if l.plain("G4 P0", replyTime+seconds(2*float64(l.job.Machine.Lift.UpTime))) != nil {
		state = penUnknown
	}
	if l.live && state == penLifted {
		r, err := l.query()
		up, moved := zWord([]byte(strings.Join(l.job.Machine.Lift.Up, "\n")))
		if err != nil || l.heeded && moved && r.hasZ && math.Abs(r.z-up) > offHeight {
			state = penUnknown
		}
	}
	return state
}

// drop holds the motion and resets the controller. A hold slows down first, so
// that the machine keeps its place through the reset.
func (l *lineAck) drop() error {
	if err := l.w.write([]byte{'!'}); err != nil {
		return err
	}
	s := l.job.Machine.Speed
	slowing := seconds(2 * float64(max(s.Draw, s.Travel)) / float64(s.Accel))
	if err := l.standStill(l.w.now() + slowing + replyTime); err != nil {
		return err
	}
	l.stood = l.w.now()
	return l.reset()
}

// reset empties the controller of all that it holds. The banner is its sign that
// it is ready; not every controller has one.
func (l *lineAck) reset() error {
	l.open, l.held, l.w.in = nil, 0, nil
	if err := l.w.write([]byte{0x18}); err != nil {
		return err
	}
	if came, err := l.w.read(l.w.now() + time.Second); err != nil || !came {
		return err
	}
	err := l.w.quiet(20*time.Millisecond, l.w.now()+time.Second)
	for s, ok := l.w.line(); ok; s, ok = l.w.line() {
		if r := parseReply(s); r.kind == replyNoise && isTalk(r.text) && !isBabble(s) {
			l.banner = r.text
		}
	}
	l.w.in = nil
	return err
}

// standStill asks for the status until two reports in a row say that nothing
// moves, or deadline has passed. One that says that it moves is given more time:
// broken off by a reset it would lose its place.
func (l *lineAck) standStill(deadline time.Duration) error {
	last := deadline + motionSlip
	var before paths.Point
	for still := 0; still < 2 && l.w.now() < deadline; {
		r, err := l.query()
		if err != nil {
			return err
		}
		switch {
		case r.kind != replyStatus:
		case r.state == "run" || still > 0 && r.at != before:
			still = 0
			deadline = min(last, max(deadline, l.w.now()+replyTime))
		default:
			still, before = still+1, r.at
		}
	}
	return nil
}

// next waits for a reply of one of the kinds and passes over all others. It
// returns a reply of noise when none came in time.
func (l *lineAck) next(deadline time.Duration, kinds ...replyKind) (reply, error) {
	for {
		for s, ok := l.w.line(); ok; s, ok = l.w.line() {
			r := parseReply(s)
			l.babbled = l.babbled || isBabble(s)
			for _, k := range kinds {
				if r.kind == k {
					return r, nil
				}
			}
		}
		if came, err := l.w.read(deadline); err != nil || !came {
			return reply{}, err
		}
	}
}

// runOut waits until the controller has answered all that it holds, whatever
// the answers are.
func (l *lineAck) runOut() error {
	for len(l.open) > 0 {
		r, err := l.next(l.w.now()+l.patience(), replyOK, replyError)
		if err != nil {
			return err
		}
		if r.kind == replyNoise {
			break
		}
		l.pop()
	}
	l.open, l.held = nil, 0
	return nil
}

// plain sends a line and waits for its `ok`.
func (l *lineAck) plain(line string, limit time.Duration) error {
	if err := l.w.write([]byte(line + "\n")); err != nil {
		return err
	}
	r, err := l.next(l.w.now()+limit, replyOK, replyError, replyAlarm)
	if err == nil && r.kind != replyOK {
		err = errors.New("not done: " + r.text)
	}
	return err
}
