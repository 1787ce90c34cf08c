package streamed

import (
	"math"
	"time"

	"weftplot/device/flow"
	"weftplot/device/timeline"
	"weftplot/paths"
)

// onPlace is how far a plotter may be from where it should be and count as there,
// mm.
const onPlace = 0.1

// check is a question that was put into the stream, HP-GL's own output
// instruction, with the answer that the work before it must give. The plotter
// answers in order, when it gets there, so that nothing waits for it. As the
// moves of a stroke are relative, the place at its end proves all its numbers,
// and the pen that was down all its ink.
type check struct {
	at     paths.Point // where the pen should be, mm
	down   bool        // and whether it should be down
	isClip bool        // the question is for the window,
	window paths.Rect  // and this should be the answer, plotter units
	end    int         // offset of the text before it
	when   time.Duration
	needed bool // what it proves is proved by no other
	ok     bool // it was answered as it should be
	penUp  bool // it was, but for the pen, which was said to be up
	stops  bool // the pen is down, or was, and has to stand for it
}

// places are the questions that a plotter is asked along with its program.
type places struct {
	answered bool // the plotter answers them
	status   bool // and those for its state
	windows  bool // and those for its window; the job sets none
	whole    paths.Rect
	clipped  bool // a window was set

	open     []*check // oldest first, each as often as it was asked
	repeats  int      // how often each is asked: one answer may be garbled
	last     timeline.Moment
	seen     check         // the last place that was as it should be,
	seenAt   time.Duration // and when the answer came
	heard    time.Duration // when an answer last came
	good     string        // the last answer that fitted
	wrong    string        // the last that did not,
	wrongs   int           // how many in a row,
	alike    int           // and how many that are like the last
	echoes   int           // how often good came again
	penHeard bool          // the plotter once said that its pen was down
	penUp    *check        // the first that said it was up, before
	unfit    *check        // the first that was not as it should be, before any was
	foreign  int           // lines that no plotter says
	fresh    bool          // IN was written since the status was last asked
	told     condition     // all that it said of itself and nobody has judged
	stray    *flow.Stray
	err      error // what is wrong
	judged   bool  // err says all that the plotter tells of it
}

const (
	// mostOpen is how many questions may wait.
	mostOpen = 400
	// placeShare is how many times as long as a question takes on the line the
	// work between two must take.
	placeShare = 40
	// midStroke is how long a stroke goes on without a question where no window
	// moves on.
	midStroke = 1500 * time.Millisecond
	// mostWrong is how many answers in a row may be garbled.
	mostWrong = 8
	// wrongAlike is how many that are alike are no accident.
	wrongAlike = 3
	// mostForeign is how many lines may come that no plotter says.
	mostForeign = 3
	// muteAfter is how long a plotter may be mute beyond what its motion explains.
	muteAfter = 6 * time.Second
)

// askPlace puts the question for the pen's place after a stroke, before the pen is
// lifted; in a stroke where the window moves on and once a while; and after the
// travel to the next, if the line can afford it. A plotter answers once it stands,
// so each question in a stroke stops the pen for a moment.
func (s *stream) askPlace(m timeline.Moment) error {
	p := &s.places
	if !p.answered || !m.Moved {
		return nil
	}
	needed := m.Down && m.Lifts && (m.Drawn > p.last.Drawn || m.Stroke > p.last.Stroke || !p.last.Down)
	if !needed && !s.worthAsking(m) {
		return nil
	}
	stops := m.Down || p.last.Down || m.Drawn > p.last.Drawn
	p.last = m
	return s.askCheck(&check{at: m.At, down: m.Down, end: m.End, needed: needed, stops: stops})
}

// worthAsking reports whether a question at m tells something that the line can
// afford to ask.
func (s *stream) worthAsking(m timeline.Moment) bool {
	last := s.places.last
	since := flow.Seconds(m.Seconds - last.Seconds)
	affords := since >= placeShare*3*time.Duration(s.places.repeats)*s.w.PerByte/2
	if s.counted && m.End-last.End >= s.size/4 {
		return true // nothing else tells that there is room
	}
	if m.Down && m.Drawn > last.Drawn {
		return s.clipAt(m.End) || affords && since >= midStroke
	}
	return !m.Down && m.At != last.At && affords
}

// askCheck puts a question into the stream, as often as it takes.
func (s *stream) askCheck(q *check) error {
	p := &s.places
	question := s.queries.Place
	if q.isClip {
		question = s.queries.Window
	}
	for range p.repeats {
		if err := s.put([]byte(question)); err != nil {
			return err
		}
		if len(p.open) == 0 {
			p.heard = max(p.heard, s.w.Now())
		}
		q.when = s.w.Now()
		p.open = append(p.open, q)
	}
	// It waits for the pen to stand, and so costs the time of a stop.
	if v := s.job.Machine.Speed; q.stops && v.Accel > 0 {
		s.due.Sent(s.w.Now(), s.last, s.last, 1.1*float64(v.Draw)/float64(v.Accel))
	}
	for len(p.open) > mostOpen {
		if err := s.read(s.w.Now() + flow.PollEvery); err != nil {
			return err
		}
	}
	return nil
}

// asking returns about how many bytes of questions and windows the plotter still
// holds.
func (s *stream) asking() int {
	n := 0
	for i, q := range s.places.open {
		n += len(s.queries.Place)
		if q.isClip && (i == 0 || s.places.open[i-1] != q) {
			n += clipBytes - 2*len(s.queries.Window)
		}
	}
	return n
}

// holds returns how many bytes a plotter holds at most, by the last place that it
// told: more than any does, if it tells none.
func (s *stream) holds() int {
	p := &s.places
	if !p.answered || p.seen.end == 0 {
		return math.MaxInt
	}
	return s.last - p.seen.end + s.asking()
}

// mostRepeats is how often a question is asked once an answer was garbled.
const mostRepeats = 6
