package device

import (
	"context"
	"errors"
	"time"

	"weftplot/paths/fault"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// sender is a job under way. It runs in legs: the whole job is one, and so is
// what is left of it after a hold in mid-stroke, or when it is taken up again.
type sender struct {
	job   Job // the whole
	whole course
	opt   Options
	ctx   context.Context
	w     *wire
	leg   leg

	state   State
	started bool // something of the program went out
	began   time.Duration
	guess   guess
	proved  time.Duration // when strokes were last proved to be drawn
	toDo    float64       // predicted seconds of what was to be drawn
	shown   time.Duration
	stroke  int
	keys    keys
	lifted  bool // the pen was lifted, and not seen to be up yet
}

// leg is a program that is sent from its beginning to its end, and what was done
// before it.
type leg struct {
	job    Job
	course course
	chunks []piece
	flow   flow
	before mark
}

func newSender(ctx context.Context, port Port, job Job, opt Options) (*sender, error) {
	s := &sender{job: job, opt: opt, ctx: ctx, w: newWire(port, job.Machine.Serial.Baud)}
	s.w.tick = s.tick
	s.w.stop = s.interrupted
	s.whole = newCourse(job.Program, motion.LimitsOf(job.Machine))
	s.toDo = s.whole.seconds
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
	s.toDo = s.leg.course.seconds
	return s, nil
}

// load makes job the leg, with n strokes begun before it.
func (s *sender) load(job Job, n int) error {
	chunks, err := chunksOf(job)
	if err != nil {
		return err
	}
	c := newCourse(job.Program, motion.LimitsOf(job.Machine))
	l := leg{job: job, course: c, chunks: chunks}
	l.before = mark{stroke: n, drawn: max(0, s.whole.drawn-c.drawn), seconds: max(0, s.whole.seconds-c.seconds)}
	if s.leg.flow != nil {
		l.flow = s.leg.flow.onward(job, c)
	} else if l.flow, err = newFlow(s.w, job, c); err != nil {
		return err
	}
	s.leg, s.guess, s.lifted = l, guess{}, false
	return nil
}

// chunksOf divides the text of a job into chunks.
func chunksOf(job Job) ([]piece, error) {
	chunks, err := language.Cut(job.Program, job.Text, job.Machine)
	out := make([]piece, len(chunks))
	for i, c := range chunks {
		out[i] = piece{start: c.Start, end: c.End, line: c.Line, pause: c.Pause, words: c.Words}
	}
	return out, err
}

// run sends the job, leg by leg.
func (s *sender) run() error {
	if err := s.leg.flow.greet(); err != nil {
		return err
	}
	if err := s.inPlace(); err != nil {
		return err
	}
	s.state, s.began, s.proved = Drawing, s.w.now(), s.w.now()
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
// since it was left.
func (s *sender) inPlace() error {
	j, f := s.opt.Journal, s.leg.flow
	if place, _ := f.sees(); place {
		if at, _ := f.where(); at.Len() <= strayed {
			f.trust() // it counts from where the program does
		}
	}
	if j == nil || s.opt.Homed || j.drawn == 0 && j.left == leftUnknown {
		return nil
	}
	at, known := f.where()
	switch {
	case j.left == leftLost, f.restarted(), j.left == leftSafe && (!known || at.Dist(j.at) > strayed):
		return &fault.Error{Kind: Restarted, What: "the machine may have lost its place since the job broke off",
			Do: "bring it home, as its manual says, and say that it was"}
	}
	if j.left == leftSafe {
		f.trust()
	}
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
		if p.pause {
			if err := s.pause(p); err != nil {
				return err
			}
			continue
		}
		before, after := s.leg.course.at(p.start), s.leg.course.at(p.end)
		if err := s.lookBefore(before, after); err != nil {
			return err
		}
		s.started = true
		if err := s.leg.flow.send(p); err != nil {
			return err
		}
		s.guess.sent(s.w.now(), p.start, p.end, after.seconds-before.seconds)
		if err := s.prove(after); err != nil {
			return err
		}
		if err := s.holdAt(after); err != nil {
			return err
		}
	}
	return s.leg.flow.settle()
}

// prove asks whether all is done, when the pen is up and some time has passed,
// and enters in the journal what is drawn.
func (s *sender) prove(m mark) error {
	if place, _ := s.leg.flow.sees(); place || !s.leg.flow.proves() || !s.provable() {
		return nil
	}
	if up, err := s.rest(m); err != nil || !up {
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
	return s.guess.busy-s.proved >= every
}

// noteProved enters what is drawn up to m, where the machine stands with the pen
// up.
func (s *sender) noteProved(m mark) error {
	s.proved = s.w.now()
	return s.entered(s.opt.Journal.note(s.leg.before.stroke + m.stroke))
}

// rest waits, between two strokes, until the machine stands still with the pen
// up. In the middle of a stroke it does nothing and returns false.
func (s *sender) rest(m mark) (bool, error) {
	if m.down {
		if !m.ends {
			return false, nil
		}
		if can, err := s.leg.flow.raise(); err != nil || !can {
			return false, err
		}
	}
	return true, s.leg.flow.settle()
}

// entered makes an error of the disk one of the job: what is not on it would be
// drawn again, but the person had better know.
func (s *sender) entered(err error) error {
	if err != nil {
		return &fault.Error{Kind: Stopped, What: "the journal cannot be written: " + err.Error(), Do: "make room on the disk", Err: err}
	}
	return nil
}

// finish closes the books on a job that is all drawn.
func (s *sender) finish() error {
	s.state = Done
	s.show()
	j := s.opt.Journal
	if err := s.entered(j.note(s.whole.strokes)); err != nil {
		return err
	}
	at, _ := s.leg.flow.where()
	return s.entered(j.leave(leftDone, at, s.whole.strokes))
}

// pause waits for the person, once all before is done and the pen is up.
func (s *sender) pause(p piece) error {
	if s.started {
		if _, err := s.leg.flow.raise(); err != nil {
			return err
		}
		if err := s.leg.flow.settle(); err != nil {
			return err
		}
	}
	if s.opt.Pause == nil {
		return nil
	}
	s.state = Waiting
	s.show()
	err := s.opt.Pause(s.ctx, p.words)
	s.state = Drawing
	if err != nil && s.ctx.Err() == nil {
		err = &fault.Error{Kind: Stopped, What: "stopped on request", Err: err}
	}
	return err
}

func (s *sender) outcome() Outcome {
	p := s.progress()
	out := Outcome{DrawnMM: p.DrawnMM, Strokes: p.Stroke, Predicted: s.toDo, BytesSent: s.w.sent}
	if s.began > 0 {
		out.Seconds = (s.w.now() - s.began).Seconds()
	}
	return out
}

// blocksUnderWay returns the first and the last block that the machine may be
// at: those between what it has surely done and what it has been sent.
func (s *sender) blocksUnderWay() (first, last int) {
	done, sent := s.leg.flow.done(), s.leg.flow.written()
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
