package streamed

import (
	"strconv"
	"time"

	"weftplot/device/flow"
	"weftplot/device/timeline"
	"weftplot/paths/fault"
	"weftplot/plot/language"
)

// mute returns when a plotter that does not answer is given up: when what it had
// to do since its last answer is over, twice over, and some more; false if it owes
// no answer.
func (s *stream) mute() (time.Duration, bool) {
	p := &s.places
	if len(p.open) == 0 {
		return 0, false
	}
	q := p.open[0]
	return max(p.heard, q.when) + muteAfter + s.late + atSlowest(s.unproved(q.end)), true
}

// read waits for bytes until a deadline and takes in what came.
func (s *stream) read(deadline time.Duration) error {
	until := deadline
	mute, owes := s.mute()
	if owes && mute < until {
		until = max(mute, s.w.Now())
	}
	came, err := s.w.Read(until)
	if err != nil {
		return err
	}
	s.hear()
	if err := s.failed(); err != nil {
		return err
	}
	if owes && !came && s.w.Now() >= mute {
		silence := s.w.Now() - s.places.heard
		s.places.stray = s.strayedSince()
		s.places.stray.Lost = true
		if s.places.err = s.diagnose(1); s.places.err == nil {
			s.places.err = s.silent(silence)
		}
		s.places.judged = true
		return s.places.err
	}
	return nil
}

// failed returns what is wrong. The first time it stops the plotter and asks for
// its state, which tells more.
func (s *stream) failed() error {
	p := &s.places
	if p.err == nil || p.judged {
		return p.err
	}
	err := p.err
	p.err = nil
	if told := s.diagnose(3); told != nil {
		err = told
		p.stray.Lost = true
	}
	p.err, p.judged = err, true
	return err
}

// diagnose stops the plotter, pen up, and asks it whether it has restarted or was
// unloaded. It returns nil if it has not, or does not say.
func (s *stream) diagnose(tries int) error {
	p := &s.places
	p.open, s.due = nil, timeline.Prediction{}
	for range tries {
		if s.w.Write(s.dropText()) != nil {
			return nil
		}
		if s.told(s.again()) {
			break
		}
	}
	switch {
	case p.told.code == language.Unloaded:
		return s.unseen(unloaded())
	case p.told.status.Began():
		return s.unseen(restarted())
	case s.extended(askAgain/2+s.late) >= wheelsUp: // another error may have come since
		return s.unseen(unloaded())
	}
	return nil
}

func restarted() error {
	return &fault.Error{Kind: flow.Restarted, What: "the plotter restarted in mid-job: it no longer knows where it is",
		Do: "look at its power supply; bring it home, and see that the cloth lies where it was, before it draws again"}
}

func unloaded() error {
	return &fault.Error{Kind: flow.Alarm, What: "the plotter reports " + language.ErrorWords(language.Unloaded) + ": what it draws on may have shifted, and its place is lost",
		Do: "load the cloth again, bring the plotter home, and find the marks anew before it draws again"}
}

// dropText makes the plotter forget what it holds, with the pen up and no window.
func (s *stream) dropText() []byte {
	text := append([]byte(language.Drop), s.language.PenUp(s.job.Machine)...)
	if s.places.clipped || s.places.windows {
		text = append(text, language.WholeWindow...)
	}
	return text
}

// told asks for the plotter's state and error, of a plotter that has room, and
// waits so long for the answers, which it keeps in places.told. That it began once
// is what IN should do.
func (s *stream) told(limit time.Duration) bool {
	if s.gate.rest(s) != nil {
		return false
	}
	question := s.queries.Error
	if s.places.status {
		question = s.queries.Status + question
	}
	if s.w.Write([]byte(question)) != nil {
		return false
	}
	s.owed++
	left := s.w.Left()
	a := stateAnswers{status: !s.places.status}
	_, err := s.await(limit, func() bool { a.take(s); return a.whole() && s.owed <= 0 })
	s.lag = -1
	if a.whole() && s.owed <= 0 {
		const answers = 5 // bytes
		s.lag = s.lateness(left, answers)
	}
	if a.whole() {
		s.owed = 0 // those to questions before were lost
	}
	t := &s.places.told
	if a.status && a.told.Began() && s.places.fresh {
		s.places.fresh = false
		a.told &^= language.Began
	}
	*t = condition{t.status | a.told, max(t.code, a.code)}
	return err == nil && a.whole()
}

// condition is what a plotter says of itself: its state, and the number of its error.
type condition struct {
	status language.Status
	code   int
}

// stateAnswers are those to the questions for the plotter's state and error.
type stateAnswers struct {
	status, error bool // whether they came
	told          language.Status
	code          int
}

func (a *stateAnswers) whole() bool { return a.status && a.error }

// take takes in what came. A state is at least 16, an error less.
func (a *stateAnswers) take(s *stream) {
	for {
		text, ok := s.w.UpTo('\r', '\n')
		if !ok {
			return
		}
		n, err := strconv.Atoi(text)
		if err != nil {
			continue
		}
		if st, is := language.ParseStatus(float64(n)); is {
			a.told, a.status = a.told|st, true
		} else if n >= 0 && n < 16 {
			s.owed--
			if a.status { // the state comes first: this may be the rest of one
				a.code, a.error = max(a.code, n), true
			}
		}
	}
}
