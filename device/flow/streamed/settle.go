package streamed

import (
	"fmt"
	"time"

	"weftplot/device/flow"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
)

// Settle asks for the plotter's error, which it answers when it has got there,
// or waits for as long as the work should take.
func (s *stream) Settle() error {
	if s.answersLines() {
		return s.settleLines()
	}
	if s.last == len(s.job.Text) {
		if err := s.unclip(); err != nil {
			return err
		}
	}
	if s.talks {
		return s.settleAnswer()
	}
	for s.due.Busy > s.w.Now() {
		if err := s.read(min(s.due.Busy, s.w.Now()+askAgain/2)); err != nil {
			return err
		}
		if err := s.glance(); err != nil {
			return err
		}
	}
	if s.tells {
		return s.settleExtended()
	}
	return nil
}

// settleExtended waits until a plotter that answers only device controls says that
// it is empty and at rest.
func (s *stream) settleExtended() error {
	limit := s.patience()
	for began, misses := s.w.Now(), 0; ; {
		switch n := s.extended(s.again()); {
		case n >= wheelsUp:
			return s.unseen(unloaded())
		case n >= 0 && n&8 != 0:
			return nil
		case n < 0:
			misses++
		default:
			misses = 0
		}
		if misses > 5 || s.w.Now()-began > limit {
			return s.silent(s.w.Now() - began)
		}
		if err := s.read(s.w.Now() + flow.PollEvery); err != nil {
			return err
		}
	}
}

// glance looks, once a while, at a plotter that answers only device controls: one
// that is empty and at rest in the middle of what it was given has forgotten it. One
// that is paced by the clock may only be quicker than predicted.
func (s *stream) glance() error {
	const every, ahead = 2 * time.Second, 3 * time.Second
	now := s.w.Now()
	_, byClock := s.gate.(*paced)
	if s.talks || !s.tells || byClock || now < s.glanced+every {
		return nil
	}
	s.glanced = now
	for range 2 { // an answer may be one that came twice
		n := s.extended(askAgain/2 + s.late)
		if n >= wheelsUp {
			return s.unseen(unloaded())
		}
		if n < 0 || n&8 == 0 || s.due.Busy < now+ahead {
			return nil
		}
	}
	return s.unseen(forgot())
}

// forgot is the error of a plotter that has nothing to do when it should.
func forgot() error {
	return &fault.Error{Kind: flow.Restarted, What: "the plotter has nothing left to do in mid-job: it restarted, or was stopped, and no longer knows where it is",
		Do: "look at its power supply and panel; bring it home, and see that the cloth lies where it was, before it draws again"}
}

// settleAnswer asks for place, state and error, again when the answers do not
// come. Those to questions of before may be late: the place tells which are which.
func (s *stream) settleAnswer() error {
	began := s.w.Now()
	limit := max(0, s.due.Busy-began, atSlowest(s.unproved(s.last))) + flow.MotionSlip + muteAfter + s.late
	stands, err := s.askStands()
	if err != nil {
		return err
	}
	for again := false; ; {
		if err := s.putRoom(); err != nil {
			return err
		}
		ok := s.told(s.soon())
		if err := s.failed(); err != nil {
			return err
		}
		if ok && !again && s.places.owes() {
			again = true
			if _, err := s.await(askAgain/2+s.late, func() bool { return len(s.places.open) == 0 }); err != nil {
				return err
			}
			continue
		}
		if ok {
			if err := s.settled(); err != nil || stands.ok {
				return err
			}
			return s.astray()
		}
		if s.w.Now()-began > limit {
			return s.silent(s.w.Now() - began)
		}
	}
}

// askStands asks where the plotter is that has done all that was written.
func (s *stream) askStands() (*check, error) {
	m := s.timeline.At(s.last)
	stands := &check{at: m.At, down: m.Down && !s.raised, end: s.last}
	if !m.Moved || !s.places.answered {
		return stands, nil
	}
	return stands, s.askCheck(stands)
}

// owes reports whether answers are missing of a plotter that complains of nothing.
func (p *places) owes() bool {
	return len(p.open) > 0 && p.told.code == 0 && !p.told.status.Began()
}

// putRoom waits until a question surely fits.
func (s *stream) putRoom() error {
	const question = 16 // bytes
	if err := s.gate.room(s, question); err != nil {
		return err
	}
	return s.failed()
}

// settled judges what a plotter says that has done all that was written.
func (s *stream) settled() error {
	p := &s.places
	lost, told := p.open, p.told
	p.open, p.told = nil, condition{}
	const overflow = 6 // a position out of reach, which need not show in the state
	switch {
	case told.code == language.Unloaded:
		return s.unseen(unloaded())
	case told.status.Began():
		return s.unseen(restarted())
	case told.code != 0 && (told.status.Failed() || told.code == overflow || !p.status), told.status.Failed():
		if s.extended(askAgain/2+s.late) >= wheelsUp { // another error came after that
			return s.unseen(unloaded())
		}
		what := language.ErrorWords(told.code)
		if told.code == 0 {
			what = "an error"
		}
		return &fault.Error{Kind: flow.Rejected, What: "the plotter reports " + what,
			Do: "look at what it drew: something may be missing; prepare the program for this machine"}
	}
	s.pass(lost)
	return s.failed()
}

// astray returns an error when the plotter, having taken all that was written,
// does not stand where that leads, although it once did: bytes were lost on the
// way, or it restarted. Not every plotter counts from where the program does, so
// one that never did is not judged.
func (s *stream) astray() error {
	m := s.timeline.At(s.last)
	if !m.Moved {
		return nil
	}
	for before, had := (paths.Point{}), false; ; {
		at, known := s.Where()
		switch {
		case !known && s.places.answered:
			return s.silent(3 * s.again())
		case !known:
			return nil
		case at.Dist(m.At) <= onPlace:
			s.counts()
			return s.failed()
		case !s.trusted:
			return nil
		case had && at == before: // a garbled answer does not come twice
			return &fault.Error{Kind: flow.Garbled, What: fmt.Sprintf("the plotter stands at %.2f, %.2f and not at %.2f, %.2f: bytes were lost, or it has restarted",
				at.X, at.Y, m.At.X, m.At.Y), Do: "look at cable and power; see that its origin is where it was before it draws again"}
		}
		before, had = at, true
	}
}

// Halt drops what the plotter holds and lifts the pen. What it has begun it
// still finishes.
func (s *stream) Halt() flow.Left {
	p := &s.places
	p.open, p.err = nil, nil
	if s.answersLines() {
		if s.put(s.language.PenUp(s.job.Machine)) != nil {
			return flow.PenUnknown
		}
		return flow.PenSent
	}
	if s.w.Write(s.dropText()) != nil {
		return flow.PenUnknown
	}
	if !s.talks || !p.answered {
		return flow.PenSent
	}
	// What it said before it forgot the rest is of no account.
	const answer = 40 // bytes
	if s.flushed(s.w.Left()+answer*s.w.PerByte+s.late) != nil {
		return flow.PenUnknown
	}
	s.due = timeline.Prediction{}
	limit := s.w.Now() + flow.MotionSlip + s.late
	if s.gone {
		limit = s.w.Now()
	}
	for s.w.Now() <= limit {
		_, down, ok := s.look()
		if ok && !down {
			return flow.PenLifted
		}
		// A byte of it may have been garbled, or the plotter was starting.
		if s.w.Write(s.dropText()) != nil {
			return flow.PenUnknown
		}
	}
	return flow.PenSent
}

// flushed waits until a time, and drops what comes.
func (s *stream) flushed(until time.Duration) error {
	for s.w.Now() < until {
		if _, err := s.w.Read(until); err != nil {
			return err
		}
	}
	s.w.Drop()
	return nil
}
