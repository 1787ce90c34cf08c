package device

import (
	"context"
	"errors"
	"fmt"
	"time"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Job is a program and the machine it is for.
type Job struct {
	// Program is what Text says, as its reader gave it: its blocks know where
	// in the text they stand.
	Program program.Program
	// Text is what goes over the wire, byte for byte, but for lines that do
	// nothing.
	Text    []byte
	Machine profiles.Machine
}

// Options say how a job is sent. The zero value sends it and says nothing.
type Options struct {
	// Progress is told how the job gets on, many times a second and whenever a
	// stroke begins.
	Progress func(Progress)
	// Pause is asked when the program waits for the person at the machine,
	// with what for; the pen is up and nothing moves. It returns when the
	// person is ready, or an error to end the job. Without it the job goes on
	// at once.
	Pause func(ctx context.Context, what string) error
	// Rehearse runs the whole job with the pen up; Edge takes the pen, up, once
	// round all that the job draws. Edge wins.
	Rehearse, Edge bool
}

// State is what a job is at.
type State int

const (
	Connecting State = iota // finding out that the machine listens
	Drawing                 // on the way
	Waiting                 // for the person at the machine
	Stopping                // bringing the machine to rest, pen up
	Done
)

// String returns the state in one word.
func (s State) String() string {
	return [...]string{"connecting", "drawing", "waiting", "stopping", "done"}[s]
}

// Progress is how far a job has got. What is drawn is what the machine is
// predicted to have done of what it has taken.
type Progress struct {
	State             State
	DrawnMM, TotalMM  float64
	SecondsLeft       float64 // predicted
	Stroke, Strokes   int     // the one under way, from 1
	Layer             string  // the last remark of the program before it
	BytesSent, BytesN int
}

// Outcome is what became of a job.
type Outcome struct {
	// DrawnMM and Strokes are what was drawn, as far as known; all of it when
	// there was no error.
	DrawnMM float64
	Strokes int
	// Seconds is how long it took once the machine had answered, Predicted how long it should have.
	Seconds, Predicted float64
	// BytesSent counts every byte written, questions to the machine included.
	BytesSent int
}

// Send sends the job and returns when the machine has carried it out. When it
// cannot, or ctx is cancelled, it stops the machine, with the pen up as far as
// the line lives, and returns an [Error] that says how the machine was left; on
// a cancelled ctx it wraps ctx's error. A request that cannot be right is a
// [paths.Fault], and nothing is sent.
func Send(ctx context.Context, port Port, job Job, opt Options) (Outcome, error) {
	job, err := variant(job, opt)
	if err != nil {
		return Outcome{}, err
	}
	s, err := newSender(ctx, port, job, opt)
	if err != nil {
		return Outcome{}, err
	}
	err = s.run()
	out := s.outcome()
	if err != nil {
		return out, s.explain(err)
	}
	return out, nil
}

// variant returns the job as the options ask for it. The job itself must fit
// the machine too.
func variant(job Job, opt Options) (Job, error) {
	if err := fits(job); err != nil {
		return Job{}, err
	}
	switch {
	case opt.Edge:
		return edge(job)
	case opt.Rehearse:
		return rehearsal(job)
	}
	return job, nil
}

type sender struct {
	job    Job
	opt    Options
	w      *wire
	flow   flow
	course course
	pieces []piece

	state   State
	started bool          // something of the program went out
	began   time.Duration // when the machine had answered
	guess   guess
	shown   time.Duration
	stroke  int
}

func newSender(ctx context.Context, port Port, job Job, opt Options) (*sender, error) {
	if err := fits(job); err != nil {
		return nil, err
	}
	pieces, err := cut(job)
	if err != nil {
		return nil, err
	}
	s := &sender{job: job, opt: opt, pieces: pieces, w: newWire(ctx, port, job.Machine.Serial.Baud)}
	s.course = newCourse(job.Program, motion.LimitsOf(job.Machine))
	if s.flow, err = newFlow(s.w, job, s.course); err != nil {
		return nil, err
	}
	s.w.tick = s.tick
	return s, nil
}

// fits refuses a program that this machine must not be given.
func fits(job Job) error {
	m := job.Machine
	if job.Program.Language == string(profiles.HPGL2) && m.Language == profiles.HPGL {
		return paths.Bad("", "prepare the program for this machine", "the program is HP-GL/2, the machine %q reads HP-GL only", m.Name)
	}
	if (job.Program.Language == string(profiles.GCode)) != (m.Language == profiles.GCode) {
		return paths.Bad("", "prepare the program for this machine, or choose the machine it was prepared for",
			"the program is %s, the machine %q reads %s", job.Program.Language, m.Name, m.Language)
	}
	reach, all := m.Reach(), program.Total(job.Program).Reach
	slack := m.Step()
	over := max(reach.Min.X-all.Min.X, reach.Min.Y-all.Min.Y, all.Max.X-reach.Max.X, all.Max.Y-reach.Max.Y)
	if !all.IsEmpty() && over > slack {
		return paths.TooBig("", "move or shrink the job, or choose a machine that reaches so far",
			"the program leaves the area of %q by %.2f mm", m.Name, over)
	}
	return nil
}

// run sends the pieces in order.
func (s *sender) run() error {
	if err := s.flow.greet(); err != nil {
		return err
	}
	s.state, s.began = Drawing, s.w.now()
	for _, p := range s.pieces {
		if err := s.w.ctx.Err(); err != nil {
			return err
		}
		if p.pause {
			if err := s.pause(p); err != nil {
				return err
			}
			continue
		}
		s.started = true
		if err := s.flow.send(p); err != nil {
			return err
		}
		s.guess.sent(s.w.now(), p.end, s.course.at(p.end).seconds-s.course.at(p.start).seconds)
	}
	if err := s.flow.settle(); err != nil {
		return err
	}
	s.state = Done
	s.show()
	return nil
}

// pause waits for the person, once all before is done and the pen is up.
func (s *sender) pause(p piece) error {
	if s.started {
		if err := s.flow.settle(); err != nil {
			return err
		}
	}
	if s.opt.Pause == nil {
		return nil
	}
	s.state = Waiting
	s.show()
	err := s.opt.Pause(s.w.ctx, p.words)
	s.state = Drawing
	return err
}

// explain halts the machine after an error, unless nothing was sent to it yet,
// and puts into the error how it was left.
func (s *sender) explain(err error) error {
	var f *paths.Fault
	if errors.As(err, &f) {
		return err
	}
	var e *Error
	if !errors.As(err, &e) {
		e = &Error{Kind: Lost, What: "the line to the machine broke: " + err.Error(), Err: err}
		if s.w.ctx.Err() != nil {
			e.Kind, e.What = Stopped, "stopped on request"
		}
	}
	out := *e
	if !s.started {
		return &out
	}
	s.state = Stopping
	s.show()
	out.State = penUnknown
	if e.Kind != Lost {
		s.w.ctx = context.WithoutCancel(s.w.ctx) // the pen is lifted all the same
		out.State = s.flow.halt()
	}
	out.State += fmt.Sprintf(", after %.0f of %.0f mm", s.progress().DrawnMM, s.course.drawn)
	return &out
}

func (s *sender) outcome() Outcome {
	p := s.progress()
	return Outcome{DrawnMM: p.DrawnMM, Strokes: p.Stroke, Predicted: s.course.seconds,
		Seconds: (s.w.now() - s.began).Seconds(), BytesSent: s.w.sent}
}
