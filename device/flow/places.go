package flow

import (
	"fmt"
	"strings"
	"time"

	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
)

// onPlace is how far a plotter may be from where it should be and count as there,
// mm.
const onPlace = 0.1

// placeAsked is a question for the pen's place that was put into the stream: the
// plotter answers it when it gets there.
type placeAsked struct {
	at   paths.Point   // where the pen should then be
	when time.Duration // when it was put there
	down bool          // whether anything before it draws, from the question before on
}

// places are the questions that a plotter is asked along with its program. They
// are HP-GL's own output instructions, so they hold nothing up. Each is put
// twice: one answer may be garbled.
type places struct {
	answered bool            // the plotter is one that answers
	open     []placeAsked    // oldest first
	last     timeline.Moment // where the last question was put
	seen     placeAsked      // the last that was answered as it should be
	doubts   int             // answers in a row that do not fit
	stray    *Stray
	err      error // the pen is somewhere else
}

const (
	// mostOpen is how many questions may wait: more are never answered.
	mostOpen = 64
	// placeShare is how many times as long as a question takes on the line the
	// work between two must take.
	placeShare = 40
)

// askPlace puts the question for the pen's place after a stroke, and after the
// travel to the next, if the line can afford it.
func (s *stream) askPlace(m timeline.Moment) error {
	p := &s.places
	if !p.answered || !m.Moved || m.Down && !m.Lifts || m.At == p.last.At && m.Down == p.last.Down {
		return nil
	}
	question := strings.Repeat(s.queries.Place, 2)
	if seconds(m.Seconds-p.last.Seconds) < placeShare*time.Duration(len(question))*s.w.PerByte {
		return nil
	}
	if err := s.put([]byte(question)); err != nil {
		return err
	}
	a := placeAsked{at: m.At, when: s.w.Now(), down: m.Drawn > p.last.Drawn}
	p.open, p.last = append(p.open, a, a), m
	if len(p.open) > mostOpen {
		p.answered, p.open = false, nil
	}
	return nil
}

// hear takes the answers to such questions out of what came.
func (s *stream) hear() {
	s.w.Pluck(func(text string) bool {
		at, ok := language.ParsePlace(s.job.Machine, text)
		if !ok || len(s.places.open) == 0 {
			return false
		}
		s.found(at)
		return true
	})
}

// found judges an answer. One that got lost is passed over; one that fits none
// may be garbled, so it takes two. A plotter that was never found where it should
// be counts otherwise than the program, and is not judged.
func (s *stream) found(at paths.Point) {
	p := &s.places
	for i, a := range p.open {
		if at.Dist(a.at) <= onPlace {
			p.seen, p.open, p.doubts, s.trusted = a, p.open[i+1:], 0, true
			return
		}
	}
	a := p.open[0]
	p.open = p.open[1:]
	if p.doubts++; p.doubts < 2 || !s.trusted || p.err != nil {
		return
	}
	p.stray = &Stray{Last: p.seen.at, When: p.seen.when, Down: a.down}
	p.err = &fault.Error{Kind: Garbled, What: fmt.Sprintf("the pen is at %.2f, %.2f and not at %.2f, %.2f: bytes were garbled on their way or lost, or the plotter has restarted",
		at.X, at.Y, a.at.X, a.at.Y), Do: "look at cable and power; then go on from what is proved drawn"}
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
	at, known := s.Where()
	switch {
	case !known:
		return nil
	case at.Dist(m.At) <= onPlace:
		s.trusted = true
		return nil
	case !s.trusted:
		return nil
	}
	return &fault.Error{Kind: Garbled, What: fmt.Sprintf("the plotter stands at %.2f, %.2f and not at %.2f, %.2f: bytes were lost, or it has restarted",
		at.X, at.Y, m.At.X, m.At.Y), Do: "look at cable and power; see that its origin is where it was before it draws again"}
}

// Strayed returns what is known of a stray line once the plotter was halted. How
// much of what was in it is drawn by then is not known: all that it held may be.
func (s *stream) Strayed() *Stray {
	if s.places.stray != nil {
		s.places.stray.Until = s.w.Now()
	}
	return s.places.stray
}
