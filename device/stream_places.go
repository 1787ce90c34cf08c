package device

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"weftplot/paths"
	"weftplot/paths/fault"
)

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
	answered bool         // the plotter is one that answers
	open     []placeAsked // oldest first
	last     mark         // where the last question was put
	seen     placeAsked   // the last that was answered as it should be
	doubts   int          // answers in a row that do not fit
	stray    *straying
	err      error // the pen is somewhere else
}

const (
	placeQuestion = "OA;"
	// mostOpen is how many questions may wait: more are never answered.
	mostOpen = 64
	// placeShare is how many times as long as a question takes on the line the
	// work between two must take.
	placeShare = 40
)

// askPlace puts the question for the pen's place after a stroke, and after the
// way to the next, if the line can afford it.
func (s *stream) askPlace(m mark) error {
	p := &s.places
	if !p.answered || !m.moved || m.down && !m.ends || m.at == p.last.at && m.down == p.last.down {
		return nil
	}
	question := strings.Repeat(placeQuestion, 2)
	if seconds(m.seconds-p.last.seconds) < placeShare*time.Duration(len(question))*s.w.perByte {
		return nil
	}
	if err := s.put([]byte(question)); err != nil {
		return err
	}
	a := placeAsked{at: m.at, when: s.w.now(), down: m.drawn > p.last.drawn}
	p.open, p.last = append(p.open, a, a), m
	if len(p.open) > mostOpen {
		p.answered, p.open = false, nil
	}
	return nil
}

// hear takes the answers to such questions out of what came.
func (s *stream) hear() {
	s.w.pluck(func(line string) bool {
		at, ok := s.parsePlace(line)
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
		if at.Dist(a.at) <= strayed {
			p.seen, p.open, p.doubts, s.trusted = a, p.open[i+1:], 0, true
			return
		}
	}
	a := p.open[0]
	p.open = p.open[1:]
	if p.doubts++; p.doubts < 2 || !s.trusted || p.err != nil {
		return
	}
	p.stray = &straying{last: p.seen.at, when: p.seen.when, down: a.down}
	p.err = &fault.Error{Kind: Garbled, What: fmt.Sprintf("the pen is at %.2f, %.2f and not at %.2f, %.2f: bytes were garbled on their way or lost, or the plotter has restarted",
		at.X, at.Y, a.at.X, a.at.Y), Do: "look at cable and power; then go on from what is proved drawn"}
}

// parsePlace reads an answer: the place in plotter units, and whether the pen is
// down.
func (s *stream) parsePlace(line string) (paths.Point, bool) {
	f := strings.Split(strings.TrimSpace(line), ",")
	if len(f) != 3 {
		return paths.Point{}, false
	}
	x, err1 := strconv.ParseFloat(f[0], 64)
	y, err2 := strconv.ParseFloat(f[1], 64)
	_, err3 := strconv.Atoi(f[2])
	at := paths.Point{X: x, Y: y}
	place, known := s.job.Machine.Units().Inverse()
	return place.Apply(at), known && err1 == nil && err2 == nil && err3 == nil && at.IsFinite()
}

// strayed returns what is known of a stray line once the plotter was halted. How
// much of what was in it is drawn by then is not known: all that it held may be.
func (s *stream) strayed() *straying {
	if s.places.stray != nil {
		s.places.stray.until = s.w.now()
	}
	return s.places.stray
}
