package device

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"weftplot/device/flow"
	"weftplot/device/flow/acked"
	"weftplot/device/flow/streamed"
	"weftplot/device/line"
	"weftplot/device/timeline"
	"weftplot/paths/fault"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// Job is a program and the machine it is for.
type Job = flow.Job

// newControl returns the flow control that the machine's profile names. A profile
// whose flow control does not suit its language is a [fault.Error].
func newControl(w *line.Wire, job Job, t timeline.Timeline) (flow.Control, error) {
	if job.Machine.Serial.Flow == profiles.LineAck {
		return acked.New(w, job, t)
	}
	return streamed.New(w, job, t)
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
	// Keys are what the person at the machine asks for meanwhile; nil none.
	Keys <-chan Key
	// Rehearse runs the whole job with the pen up; Edge takes the pen, up, once
	// round all that the job draws. Edge wins. Neither is for a journal.
	Rehearse, Edge bool
	// AsItIs sends a program that is not wholly understood, byte for byte. It is
	// not for a rehearsal or an edge, which are written anew from what is
	// understood.
	AsItIs bool
	// Journal keeps what is drawn; nil keeps nothing. The job begins after
	// what it says is drawn already.
	Journal *Journal
	// Confirm asks the person at the machine whether all is drawn, when a machine
	// that does not say so should be through. No ends the job with an error. Without
	// it the job ends as one that is drawn by the clock only.
	Confirm func(ctx context.Context) (bool, error)
	// Hurry reports whether whoever stopped the job, by the context, waits no longer:
	// the lift of the pen is then sent within seconds, even if the machine has not
	// answered all that it holds. Nil never.
	Hurry func() bool
	// Homed says that the machine was just brought home, so that a job may go
	// on although the machine had lost its place.
	Homed bool
}

// State is what a job is at.
type State int

const (
	Connecting State = iota // finding out that the machine listens
	Drawing                 // on the way
	Waiting                 // for the person at the machine, pen up
	Stopping                // bringing the machine to rest, pen up
	Done                    // all is over
)

// String returns the state in one word.
func (s State) String() string {
	return [...]string{"connecting", "drawing", "waiting", "stopping", "done"}[s]
}

// Progress is how far a job has got. What is drawn is what the machine is
// predicted to have done of what it has taken; what is proved, it has said it has.
type Progress struct {
	State            State
	DrawnMM, TotalMM float64
	ProvedMM         float64
	ProvedStrokes    int
	SecondsLeft      float64 // predicted
	Stroke, Strokes  int     // the one under way, from 1
	Layer            string  // the last remark of the program before it
	BytesSent        int
}

// Proof is how it is known that a job is drawn to its end. By the clock, where the
// machine does not say where it goes, neither missing strokes nor stray lines can be
// ruled out: whoever is told of the end has to be told to look for them.
type Proof int

const (
	NoProof   Proof = iota // it did not come to its end
	ByClock                // all was sent, and should be drawn by now: a prediction, see below
	ByMachine              // the machine said that it has done all, and where it went
	ByPerson               // the person at the machine said that it is drawn
)

// String returns the proof in words.
func (p Proof) String() string {
	return [...]string{"not at all", "by the clock", "by the machine's word", "by a person's word"}[p]
}

// Outcome is what became of a job.
type Outcome struct {
	// DrawnMM and Strokes are what should be drawn, by the prediction, what had
	// been drawn before by an earlier sending included; all of it when there was
	// no error.
	DrawnMM float64
	Strokes int
	// ProvedMM and ProvedStrokes are what of it is proved to be drawn, by the
	// machine's word or a person's. Proof is how all of it is known to be.
	ProvedMM      float64
	ProvedStrokes int
	Proof         Proof
	// Seconds is how long it took once the machine had answered, Predicted how
	// long what was to be drawn should have.
	Seconds, Predicted float64
	// BytesSent counts every byte written, questions to the machine included.
	BytesSent int
}

// Send sends the job and returns when the machine has carried it out. When it
// cannot, or ctx is cancelled, it stops the machine, with the pen up as far as
// the line lives, and returns a [fault.Error] that says how the machine was left; on
// a cancelled ctx it wraps ctx's error. A request that cannot be right is a
// [fault.Error], and nothing is sent.
func Send(ctx context.Context, port line.Port, job Job, opt Options) (Outcome, error) {
	job, err := variant(job, opt)
	if err != nil {
		return Outcome{}, err
	}
	s, err := newSender(ctx, port, job, opt)
	if err != nil {
		return Outcome{}, err
	}
	defer s.liftOnPanic()
	err = s.run()
	if err != nil {
		err = s.explain(err)
	}
	return s.outcome(), err
}

// liftOnPanic sees to the pen when something of ours, or of the caller's, broke,
// and lets the panic go on.
func (s *sender) liftOnPanic() {
	if r := recover(); r != nil {
		if s.started {
			s.w.Stop, s.w.Tick = nil, nil
			s.leg.flow.Halt()
		}
		panic(r)
	}
}

// variant returns the job as the options ask for it. The job itself must fit
// the machine too.
func variant(job Job, opt Options) (Job, error) {
	if err := language.Fits("", job.Program, job.Machine); err != nil {
		return Job{}, err
	}
	if opt.AsItIs && (opt.Rehearse || opt.Edge) {
		return Job{}, fault.Bad("", "leave out one of the two", "a rehearsal is written anew, so nothing of it is sent as it is")
	}
	if err := language.Judge(job.Program, job.Machine).Refused("", opt.AsItIs); err != nil {
		return Job{}, err
	}
	switch {
	case (opt.Edge || opt.Rehearse) && opt.Journal != nil:
		return Job{}, fault.Bad("", "leave out one of the two", "a rehearsal draws nothing that a journal could keep")
	case opt.Edge:
		return edge(job)
	case opt.Rehearse:
		return rehearsal(job)
	}
	return job, nil
}

// explain halts the machine after an error, unless nothing was sent to it yet,
// and puts into the error how it was left.
func (s *sender) explain(err error) error {
	if fault.Request(err) != nil {
		return err
	}
	e := asError(err)
	if !s.started {
		if err := s.opt.Journal.Untouched(); err != nil {
			return errors.Join(e, s.entered(err))
		}
		return e
	}
	s.state = Stopping
	s.show()
	left := flow.PenUnknown
	if e.Kind != Lost {
		s.w.Stop, s.w.Hurry = nil, s.opt.Hurry // the pen is lifted all the same
		left = s.leg.flow.Halt()
	}
	if e.State = string(left); left == flow.PenUnknown {
		advise(e, "the pen may be down: lift it by hand")
	}
	st := s.leg.flow.Strayed()
	if st != nil {
		e.State += s.strayWords(st)
	}
	p := s.progress()
	e.State += fmt.Sprintf(", after about %.0f of %.0f mm", p.DrawnMM, s.whole.Drawn)
	if s.leave(e.Kind, st != nil && !st.Lost) == leftLost && !strings.Contains(e.Do, "home") {
		advise(e, "bring it home, as its manual says")
	}
	return e
}

// advise adds to what an error says is to be done.
func advise(e *fault.Error, do string) {
	if e.Do != "" {
		e.Do += "; "
	}
	e.Do += do
}

// asError returns err as a [fault.Error] of its own, which may be added to.
func asError(err error) *fault.Error {
	var e *fault.Error
	switch {
	case errors.As(err, &e):
		own := *e
		return &own
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded), errors.Is(err, errStopKey):
		return &fault.Error{Kind: Stopped, What: "stopped on request", Err: err}
	}
	return &fault.Error{Kind: Lost, What: "the line to the machine broke: " + err.Error(),
		Do: "look at plug and power", Err: err}
}

// leave enters in the journal how the machine was left, and returns it. It keeps
// its place through a stop that it answered, and where it went wrong by a line of
// the program without losing it; through nothing else.
func (s *sender) leave(k fault.Kind, wentWrong bool) leaving {
	how := leftLost
	at, known := s.leg.flow.Where()
	if (k == Stopped || k == Rejected || k == Garbled && wentWrong) && known && !s.leg.flow.Lost() {
		how = leftSafe
	}
	if err := s.opt.Journal.leave(how, at, s.begun); err != nil {
		return how // the journal says less than it could, and nothing that is wrong
	}
	return how
}
