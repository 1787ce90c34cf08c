package device

import (
	"context"
	"errors"
	"time"

	"weftplot/device/flow"
	"weftplot/device/line"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// sender is a job under way. It runs in legs: the whole job is one, and so is
// what is left of it after a hold in mid-stroke, or when it is taken up again.
type sender struct {
	job   Job // the whole
	whole timeline.Timeline
	opt   Options
	ctx   context.Context
	w     *line.Wire
	leg   leg

	state   State
	started bool // something of the program went out
	began   time.Duration
	due     timeline.Prediction
	proved  time.Duration   // when strokes were last proved to be drawn
	sure    timeline.Moment // what was proved then, of the whole job
	begun   int             // strokes whose beginning was sent, or may have been
	how     Proof           // how it is known that all is drawn
	toDo    float64         // predicted seconds of what was to be drawn
	shown   time.Duration
	stroke  int
	keys    keys
	lifted  bool // the pen was lifted, and not seen to be up yet
}

// leg is a program that is sent from its beginning to its end, and what was done
// before it.
type leg struct {
	job      Job
	timeline timeline.Timeline
	chunks   []language.Chunk
	flow     flow.Control
	before   timeline.Moment
}

func newSender(ctx context.Context, port line.Port, job Job, opt Options) (*sender, error) {
	s := &sender{job: job, opt: opt, ctx: ctx, w: line.NewWire(port, job.Machine.Serial.Baud)}
	s.w.Tick = s.tick
	s.w.Stop = s.interrupted
	s.whole = timeline.New(job.Program, motion.LimitsOf(job.Machine))
	s.toDo = s.whole.Seconds
	rest, n := job, 0
	if j := opt.Journal; j != nil && j.drawn > 0 {
		n = j.drawn
		var err error
		if rest, err = rewritten(job.Machine, remainder(job.Program, n)); err != nil {
			return nil, err
		}
	}
	if err := s.load(rest, n); err != nil {
		return nil, err
	}
	s.toDo = s.leg.timeline.Seconds
	s.sure.Stroke, s.sure.Drawn = s.leg.before.Stroke, s.leg.before.Drawn
	return s, nil
}

// load makes job the leg, with n strokes begun before it.
func (s *sender) load(job Job, n int) error {
	chunks, err := language.Cut(job.Program, job.Text, job.Machine)
	if err != nil {
		return err
	}
	c := timeline.New(job.Program, motion.LimitsOf(job.Machine))
	l := leg{job: job, timeline: c, chunks: chunks}
	l.before = timeline.Moment{Stroke: n, Drawn: max(0, s.whole.Drawn-c.Drawn), Seconds: max(0, s.whole.Seconds-c.Seconds)}
	if s.leg.flow != nil {
		l.flow = s.leg.flow.Onward(job, c)
	} else if l.flow, err = newControl(s.w, job, c); err != nil {
		return err
	}
	s.leg, s.due, s.lifted, s.begun = l, timeline.Prediction{}, false, max(s.begun, n)
	return nil
}

// run sends the job, leg by leg.
func (s *sender) run() error {
	if err := s.leg.flow.Greet(); err != nil {
		if errors.Is(err, Restarted) || errors.Is(err, Alarm) {
			err = errors.Join(err, s.entered(s.opt.Journal.leave(leftLost, paths.Point{}, 0)))
		}
		return err
	}
	if err := s.inPlace(); err != nil {
		return err
	}
	s.state, s.began, s.proved = Drawing, s.w.Now(), s.w.Now()
	for {
		err := s.feed()
		if !errors.Is(err, errHoldKey) {
			if err == nil {
				err = s.finish()
			}
			return err
		}
		if err := s.detour(); err != nil {
			return err
		}
	}
}

// inPlace refuses to go on with a job when the machine may have lost its place
// since it was left: unless it says that it stands where it was left or, if that
// is not known, on the way.
func (s *sender) inPlace() error {
	j, f := s.opt.Journal, s.leg.flow
	if place, _ := f.Sees(); place {
		if at, _ := f.Where(); at.Len() <= strayed {
			f.Trust() // it counts from where the program does
		}
	}
	if j == nil || s.opt.Homed || !j.any {
		return nil
	}
	at, known := f.Where()
	stands := known && !f.Restarted()
	switch j.left {
	case leftSafe:
		stands = stands && !j.NeedsHome() && at.Dist(j.at) <= strayed
	case leftUnknown:
		stands = stands && onTheWay(s.job.Program, s.whole, j.drawn, j.begun, at)
	default:
		stands = false
	}
	if !stands {
		return &fault.Error{Kind: Restarted, What: "the machine may have lost its place since the job broke off",
			Do: "bring it home, as its manual says"}
	}
	f.Trust()
	return nil
}

// syncEvery and checkEvery are how long the machine may be at work between two
// stops, pen up, at which it is asked whether it has done all and stands where
// it should: with a journal, and without.
const (
	syncEvery  = 2 * time.Second
	checkEvery = 10 * time.Second
)

// feed sends the chunks of the leg in order.
func (s *sender) feed() error {
	for _, p := range s.leg.chunks {
		if err := s.interrupted(); err != nil {
			return err
		}
		if p.Pause {
			if err := s.pause(p); err != nil {
				return err
			}
			continue
		}
		t := s.leg.timeline
		before, after := t.At(p.Start), t.At(p.End)
		// The first of the lines that lower a pen may be the one that does it.
		to := t.Through(p.End)
		if err := s.lookBefore(t.Through(p.Start), to); err != nil {
			return err
		}
		s.begun = max(s.begun, s.leg.before.Stroke+to.Stroke)
		if err := s.entered(s.opt.Journal.sent(s.begun)); err != nil {
			return err
		}
		s.started = true
		if err := s.leg.flow.Send(p); err != nil {
			return err
		}
		s.due.Sent(s.w.Now(), p.Start, p.End, after.Seconds-before.Seconds)
		if err := s.prove(after); err != nil {
			return err
		}
		if err := s.holdAt(after); err != nil {
			return err
		}
	}
	return s.leg.flow.Settle()
}

// prove asks whether all is done, when the pen is up and some time has passed,
// and enters in the journal what is drawn.
func (s *sender) prove(m timeline.Moment) error {
	if place, _ := s.leg.flow.Sees(); place || !s.leg.flow.Proves() || !s.provable() {
		return nil
	}
	// A plotter may turn out, only now, to tell nothing that counts.
	if up, err := s.rest(m); err != nil || !up || !s.leg.flow.Proves() {
		return err
	}
	return s.noteProved(m)
}

// provable reports whether the machine was at work for long enough, since it
// last stood, to ask whether it has done all.
func (s *sender) provable() bool {
	every := checkEvery
	if s.opt.Journal != nil {
		every = syncEvery
	}
	return s.due.Busy-s.proved >= every
}

// noteProved enters what is drawn up to m, where the machine stands with the pen
// up.
func (s *sender) noteProved(m timeline.Moment) error {
	s.proved = s.w.Now()
	s.sure.Stroke, s.sure.Drawn = s.leg.before.Stroke+m.Stroke, s.leg.before.Drawn+m.Drawn
	return s.entered(s.opt.Journal.note(s.leg.before.Stroke + m.Stroke))
}

// rest waits, between two strokes, until the machine stands still with the pen
// up. In the middle of a stroke it does nothing and returns false.
func (s *sender) rest(m timeline.Moment) (bool, error) {
	if m.Down {
		if !m.Lifts {
			return false, nil
		}
		if can, err := s.leg.flow.Raise(); err != nil || !can {
			return false, err
		}
	}
	return true, s.leg.flow.Settle()
}

// entered makes an error of the disk one of the job: what is not on it would be
// drawn again, but the person had better know.
func (s *sender) entered(err error) error {
	if err != nil {
		return &fault.Error{Kind: Stopped, What: "the journal cannot be written: " + err.Error(), Do: "make room on the disk", Err: err}
	}
	return nil
}

// finish closes the books on a job that is all sent and should be drawn: it is
// drawn when the machine has said so, and where it went, or the person at it.
func (s *sender) finish() error {
	s.how = ByClock
	if s.leg.flow.Proves() && s.leg.flow.Tells() {
		s.how = ByMachine
	} else if s.opt.Confirm != nil {
		s.state = Waiting
		s.show()
		drawn, err := s.opt.Confirm(s.ctx)
		if err != nil {
			return err
		}
		if !drawn {
			return &fault.Error{Kind: Stopped, What: "all was sent, and the person at the machine says that it is not all drawn",
				Do: "look at cable and power, and at flow control and baud rate in its profile"}
		}
		s.how = ByPerson
	}
	j := s.opt.Journal
	s.state = Done
	if s.how == ByClock {
		s.show()
		return s.entered(j.leave(leftSent, paths.Point{}, s.whole.Strokes))
	}
	s.sure.Stroke, s.sure.Drawn = s.whole.Strokes, s.whole.Drawn
	s.show()
	if err := s.entered(j.note(s.whole.Strokes)); err != nil {
		return err
	}
	at, _ := s.leg.flow.Where()
	return s.entered(j.leave(leftDone, at, s.whole.Strokes))
}

// pause waits for the person, once all before is done and the pen is up.
func (s *sender) pause(p language.Chunk) error {
	if s.started {
		if _, err := s.leg.flow.Raise(); err != nil {
			return err
		}
		if err := s.leg.flow.Settle(); err != nil {
			return err
		}
	}
	if s.opt.Pause == nil {
		return nil
	}
	s.state = Waiting
	s.show()
	err := s.opt.Pause(s.ctx, p.Words)
	s.state = Drawing
	if err != nil && s.ctx.Err() == nil {
		stopped := &fault.Error{Kind: Stopped, What: "stopped on request", Err: err}
		if why := fault.Request(err); why != nil { // nobody asked for it: the pause cannot be
			stopped.What, stopped.Do = why.What, why.Do
		}
		err = stopped
	}
	return err
}

func (s *sender) outcome() Outcome {
	p := s.progress()
	out := Outcome{DrawnMM: p.DrawnMM, Strokes: p.Stroke, ProvedMM: p.ProvedMM, ProvedStrokes: p.ProvedStrokes, Proof: s.how,
		Predicted: s.toDo, BytesSent: s.w.Sent()}
	if s.began > 0 {
		out.Seconds = (s.w.Now() - s.began).Seconds()
	}
	return out
}

// blocksUnderWay returns the first and the last block that the machine may be
// at: those between what it has surely done and what it has been sent.
func (s *sender) blocksUnderWay() (first, last int) {
	done, sent := s.leg.flow.Done(), s.leg.flow.Written()
	blocks := s.leg.job.Program.Blocks
	first = len(blocks)
	for i, b := range blocks {
		if b.Kind != program.Draw && b.Kind != program.Travel {
			continue
		}
		if b.End > done && i < first {
			first = i
		}
		if b.End <= sent || b.Line == 0 {
			last = i
		}
	}
	return first, min(last+1, len(blocks)-1)
}
