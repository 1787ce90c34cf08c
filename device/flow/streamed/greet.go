package streamed

import (
	"errors"
	"strconv"
	"time"

	"weftplot/device/flow"
	"weftplot/paths"
	"weftplot/plot/language"
)

// Greet sets up the handshake, ends whatever an earlier sender may have left half
// said, lifts the pen, and finds out what the plotter answers. Not every plotter
// does; those that only listen cannot.
func (s *stream) Greet() error {
	if err := s.w.Quiet(flow.PollAgain, s.w.Now()+flow.ReplyTime); err != nil {
		return err
	}
	s.w.Forget()
	if !s.answersLines() {
		text := append([]byte(language.Drop), s.language.PenUp(s.job.Machine)...)
		if err := s.w.Write(append(text, language.WholeWindow...)); err != nil {
			return err
		}
	}
	if err := s.gate.open(s); err != nil {
		if errors.Is(err, flow.Silent) && s.w.Babble() {
			return flow.WrongBaud(s.job)
		}
		return err
	}
	if s.queries.Error == "" {
		return nil
	}
	if err := s.learn(); err != nil {
		return err
	}
	if !s.talks && s.w.Babble() {
		return flow.WrongBaud(s.job)
	}
	return nil
}

// learn finds out what the plotter answers. Asking for its error also clears an
// old one, and what it thinks of the other questions.
func (s *stream) learn() error {
	p := &s.places
	before, began := s.late, s.soonest()
	for n := range 3 {
		if s.talks = s.told(flow.ReplyTime*time.Duration(1+n/2) + before); s.talks || p.err != nil {
			break
		}
	}
	if p.err != nil || !s.talks {
		if p.err == nil {
			asked := s.soonest()
			if s.tells = s.extended(2*flow.ReplyTime+before) >= 0; s.tells {
				s.late = s.lateness(asked, 4)
			}
		}
		return p.err
	}
	// The pen may have been lifted first: how late the line is, later answers tell.
	s.late = max(before, s.lateness(began, 0))
	_, p.answered = s.Where()
	p.status = true
	p.status = s.told(s.again())
	lag := s.lag
	if p.answered && len(s.clips) > 0 {
		p.whole, p.windows = s.wholeWindow()
	}
	s.told(s.again())
	if lag = max(lag, s.lag); lag >= 0 {
		s.late = max(before, lag)
	}
	p.told = condition{} // what was before is no matter of this job
	return p.err
}

// wholeWindow asks for the window of a plotter that was given all that it reaches,
// until two answers are alike: a garbled one would hide what is drawn.
func (s *stream) wholeWindow() (r paths.Rect, ok bool) {
	before := ""
	for range 5 {
		if s.gate.rest(s) != nil || s.w.Write([]byte(s.queries.Window)) != nil {
			return r, false
		}
		text := ""
		came, err := s.await(s.again(), func() (whole bool) {
			text, whole = s.w.UpTo('\r', '\n')
			return whole
		})
		if err != nil || !came && before == "" {
			return r, false
		}
		n, is := language.Numbers(text)
		if is && len(n) == 4 && n[0] < n[2] && n[1] < n[3] && text == before {
			return paths.Rect{Min: paths.Point{X: n[0], Y: n[1]}, Max: paths.Point{X: n[2], Y: n[3]}}, true
		}
		before = text
	}
	return r, false
}

// wheelsUp is where the numbers of the extended status begin that say so.
const wheelsUp = 32

// extended asks for the extended status, ESC . O, of a plotter that may answer no
// more: 8 is empty and at rest, 32 and more that its wheels are up (7470A, page
// 10-39). It is negative without an answer.
func (s *stream) extended(limit time.Duration) int {
	if s.gate.rest(s) != nil || s.w.Write([]byte("\x1b.O")) != nil {
		return -1
	}
	n := -1
	_, err := s.await(limit, func() bool {
		text, whole := s.w.UpTo('\r', '\n')
		if v, bad := strconv.Atoi(text); whole && bad == nil && v%8 == 0 && v < 64 { // else it answers another question
			n = v
		}
		return n >= 0
	})
	if err != nil {
		return -1
	}
	return n
}
