package streamed

import (
	"fmt"
	"math"
	"slices"
	"time"
	"unicode"

	"weftplot/device/flow"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
)

// hear takes the answers to such questions out of what came.
func (s *stream) hear() {
	if s.answersLines() {
		return
	}
	s.w.Pluck(func(text string) bool {
		n, ok := language.Numbers(text)
		switch {
		case !ok:
			s.hearForeign(text)
			return len(s.places.open) > 0
		case len(n) == 1, len(s.places.open) == 0:
			return false
		}
		s.places.heard = s.w.Now()
		s.found(text, n)
		return true
	})
}

// hearForeign judges a line that is no answer of a plotter's: words. Whatever says
// them does not read HP-GL.
func (s *stream) hearForeign(text string) {
	letters, others := 0, 0
	for _, c := range text {
		switch {
		case unicode.IsLetter(c) && c < 0x7f:
			letters++
		case c < ' ' || c > 0x7e:
			others++
		}
	}
	p := &s.places
	if letters < 2 || others > 0 || letters < len(text)/2 {
		return
	}
	if p.foreign++; p.foreign < mostForeign || p.err != nil {
		return
	}
	p.err, p.judged = &fault.Error{Kind: flow.Garbled, What: fmt.Sprintf("what the machine answers is not what a plotter says: %q", text),
		Do: "choose the machine that stands there: this one seems to read another language than " + language.Spelled(s.job.Machine.Language)}, true
}

// fits reports whether n are the answer to q.
func (s *stream) fits(q *check, n []float64) bool {
	if q.isClip {
		if len(n) != 4 {
			return false
		}
		off := math.Max(math.Max(math.Abs(n[0]-q.window.Min.X), math.Abs(n[1]-q.window.Min.Y)),
			math.Max(math.Abs(n[2]-q.window.Max.X), math.Abs(n[3]-q.window.Max.Y)))
		return off <= 1
	}
	at, down, ok := s.placeOf(n)
	if !ok || at.Dist(q.at) > onPlace {
		return false
	}
	if q.down && !down && !s.places.penHeard {
		q.penUp = true // it may be one that never tells
		return true
	}
	return down == q.down
}

func (s *stream) placeOf(n []float64) (paths.Point, bool, bool) {
	back, known := s.job.Machine.Units().Inverse()
	if len(n) != 3 || !known {
		return paths.Point{}, false, false
	}
	return back.Apply(paths.Point{X: n[0], Y: n[1]}), n[2] == 1, n[2] == 0 || n[2] == 1
}

// found judges an answer. It answers the first question that it fits; those before
// that were not answered. One that fits none may be garbled, so it takes three that
// are alike. A plotter that was never found where it should be counts otherwise
// than the program, and is not judged.
func (s *stream) found(text string, n []float64) {
	p := &s.places
	for i, q := range p.open {
		if s.fits(q, n) {
			before := p.open[:i]
			p.open = p.open[i+1:]
			s.right(q, n, before)
			p.good, p.wrong, p.wrongs, p.echoes = text, "", 0, 0
			return
		}
	}
	if text == p.good && p.echoes < p.repeats { // an answer came twice
		p.echoes++
		return
	}
	if text != p.wrong {
		p.alike = 0
	}
	p.alike++
	p.wrongs++
	p.wrong, p.repeats = text, mostRepeats
	q, same := p.open[0], p.alike == wrongAlike
	switch {
	case (same || p.wrongs >= mostWrong) && s.trusted:
		s.doubt(s.difference(q, n))
	case same: // it counts otherwise: what it says is passed over
		p.open = p.open[1:]
		s.pass([]*check{q})
	}
}

// right notes that a question was answered as it should be, and those before it
// not at all.
func (s *stream) right(q *check, n []float64, before []*check) {
	p := &s.places
	q.ok = true
	if q.isClip {
		s.pass(before)
		return
	}
	s.counts()
	if q.down && n[2] == 1 {
		p.penHeard, q.penUp = true, false
	}
	s.pass(before)
	p.seen, p.seenAt = *q, s.w.Now()
	if q.penUp && p.penUp == nil {
		p.penUp = q
	}
	if p.penHeard && p.penUp != nil && p.penUp.penUp {
		s.doubt("the pen was up where a stroke was to be drawn")
	}
}

// difference says what is wrong with an answer.
func (s *stream) difference(q *check, n []float64) string {
	at, down, ok := s.placeOf(n)
	switch {
	case !ok && q.isClip:
		return "the plotter's window is not the one that was set"
	case !ok || q.isClip:
		return "the plotter's answers are not those to what it was asked"
	case at.Dist(q.at) <= onPlace && down:
		return "the pen is down where it was to be lifted"
	case at.Dist(q.at) <= onPlace:
		return "the pen is up where a stroke was to be drawn"
	}
	return fmt.Sprintf("the pen is at %.2f, %.2f and not at %.2f, %.2f", at.X, at.Y, q.at.X, q.at.Y)
}

// pass gives up questions that were not answered. What they alone could prove is
// not proved.
func (s *stream) pass(given []*check) {
	p := &s.places
	for _, q := range given {
		if q.ok || !q.needed {
			continue
		}
		p.repeats = mostRepeats
		if slices.Contains(p.open, q) {
			continue
		}
		if !s.trusted {
			if p.unfit == nil {
				p.unfit = q
			}
			continue
		}
		s.doubt("the plotter did not say that a stroke was drawn: its answers were lost")
		if p.stray != nil {
			p.stray.Down = false
		}
	}
}

// counts notes that the plotter was found where it should be: it counts as the
// program does, so what did not fit before was wrong.
func (s *stream) counts() {
	s.trusted = true
	if s.places.unfit != nil {
		s.doubt("the pen was not where a stroke was to be drawn")
	}
}

// doubt notes that something is wrong since the last place that was right.
func (s *stream) doubt(what string) {
	p := &s.places
	if p.err != nil {
		return
	}
	p.stray = s.strayedSince()
	p.err = &fault.Error{Kind: flow.Garbled, What: what + ": bytes were garbled on their way or lost, or the plotter has restarted",
		Do: "look at cable and power; then go on from what is proved drawn"}
}

// strayedSince returns a stray line that may have begun where the plotter was last
// found right. An answer takes a moment to come.
func (s *stream) strayedSince() *flow.Stray {
	const soon = 200 * time.Millisecond
	return &flow.Stray{Last: s.places.seen.at, When: max(0, s.places.seenAt-soon-s.late), Down: true}
}

// Strayed returns what is known of a stray line once the plotter was halted. How
// much of what was in it is drawn by then is not known: all that it held may be.
func (s *stream) Strayed() *flow.Stray {
	if s.places.stray != nil {
		s.places.stray.Until = s.w.Now()
	}
	return s.places.stray
}

// unseen notes, of a plotter that does not tell where it is, that something went
// wrong: stray lines may be anywhere. It returns the error.
func (s *stream) unseen(err error) error {
	if p := &s.places; !p.answered && p.stray == nil {
		p.stray = &flow.Stray{Unseen: true, Down: true, Lost: true}
	}
	return err
}
