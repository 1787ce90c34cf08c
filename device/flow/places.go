package flow

import (
	"fmt"
	"math"
	"strconv"
	"time"
	"unicode"

	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
)

// onPlace is how far a plotter may be from where it should be and count as there,
// mm.
const onPlace = 0.1

// proof is a question that was put into the stream, HP-GL's own output
// instruction, with the answer that the work before it must give. The plotter
// answers in order, when it gets there, so that nothing waits for it. As the
// moves of a stroke are relative, the place at its end proves all its numbers,
// and the pen that was down all its ink.
type proof struct {
	at       paths.Point // where the pen should be, mm
	down     bool        // and whether it should be down
	isWindow bool        // the question is for the window,
	window   paths.Rect  // and this should be the answer, plotter units
	end      int         // offset of the text before it
	when     time.Duration
	needed   bool // what it proves is proved by no other
	ok       bool // it was answered as it should be
	penUp    bool // it was, but for the pen, which was said to be up
	inks     bool // the pen may have been down since the proof before
}

// places are the questions that a plotter is asked along with its program.
type places struct {
	answered bool // the plotter answers them
	status   bool // and those for its state
	windows  bool // and those for its window; the job sets none
	whole    paths.Rect
	clipped  bool // a window was set

	open     []*proof // oldest first, each as often as it was asked
	repeats  int      // how often each is asked: one answer may be garbled
	last     timeline.Moment
	seen     proof         // the last place that was as it should be,
	seenAt   time.Duration // and when the answer came
	heard    time.Duration // when an answer last came
	good     string        // the last answer that fitted
	wrong    string        // the last that did not,
	wrongs   int           // and how many in a row
	echoes   int           // how often good came again
	penHeard bool          // the plotter once said that its pen was down
	penUp    *proof        // the first that said it was up, before
	unfit    *proof        // the first that was not as it should be, before any was
	foreign  int           // lines that no plotter says
	fresh    bool          // IN was written since the status was last asked
	told     condition     // all that it said of itself and nobody has judged
	stray    *Stray
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
	mostWrong = 5
	// mostForeign is how many lines may come that no plotter says.
	mostForeign = 3
	// muteAfter is how long a plotter may be mute beyond what its motion explains.
	muteAfter = 8 * time.Second
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
	drawn, travelled := m.Down && m.Drawn > p.last.Drawn, !m.Down && m.At != p.last.At
	if !needed && !(drawn && s.clipAt(m.End)) {
		since := seconds(m.Seconds - p.last.Seconds)
		asking := 3 * time.Duration(p.repeats) * s.w.PerByte
		if !drawn && !travelled || since < placeShare*asking/2 || drawn && since < midStroke {
			return nil
		}
	}
	inks := m.Down || p.last.Down || m.Drawn > p.last.Drawn
	p.last = m
	return s.askProof(&proof{at: m.At, down: m.Down, end: m.End, needed: needed, inks: inks})
}

// askProof puts a question into the stream, as often as it takes.
func (s *stream) askProof(q *proof) error {
	p := &s.places
	question := s.queries.Place
	if q.isWindow {
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
	if v := s.job.Machine.Speed; q.inks && v.Accel > 0 {
		s.due.Sent(s.w.Now(), s.last, s.last, 1.1*float64(v.Draw)/float64(v.Accel))
	}
	for len(p.open) > mostOpen {
		if err := s.read(s.w.Now() + pollEvery); err != nil {
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
		if q.isWindow && (i == 0 || s.places.open[i-1] != q) {
			n += clipBytes - 2*len(s.queries.Window)
		}
	}
	return n
}

// drained reports whether the plotter has answered all, and so holds next to
// nothing.
func (s *stream) drained() bool {
	return s.places.answered && len(s.places.open) == 0 && s.places.seen.end > 0
}

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
	p.err, p.judged = &fault.Error{Kind: Garbled, What: fmt.Sprintf("what the machine answers is not what a plotter says: %q", text),
		Do: "choose the machine that stands there: this one seems to read another language than " + language.Spelled(s.job.Machine.Language)}, true
}

// fits reports whether n are the answer to q.
func (s *stream) fits(q *proof, n []float64) bool {
	if q.isWindow {
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
// that were not answered. One that fits none may be garbled, so it takes two that
// are alike. A plotter that was never found where it should be counts otherwise
// than the program, and is not judged.
func (s *stream) found(text string, n []float64) {
	p := &s.places
	for i, q := range p.open {
		if !s.fits(q, n) {
			continue
		}
		if !q.isWindow {
			s.counts()
		}
		if q.down && !q.isWindow && n[2] == 1 {
			p.penHeard, q.penUp = true, false
		}
		q.ok = true
		before := p.open[:i]
		p.open = p.open[i+1:]
		s.pass(before)
		if !q.isWindow {
			p.seen, p.seenAt = *q, s.w.Now()
			if q.penUp && p.penUp == nil {
				p.penUp = q
			}
		}
		if p.penHeard && p.penUp != nil && !p.penUp.penUp {
			p.penUp = nil
		}
		if p.penHeard && p.penUp != nil {
			s.doubt(p.penUp, "the pen was up where a stroke was to be drawn")
		}
		p.good, p.wrong, p.wrongs, p.echoes = text, "", 0, 0
		return
	}
	if text == p.good && p.echoes < p.repeats { // an answer came twice
		p.echoes++
		return
	}
	same := text == p.wrong
	p.wrong, p.repeats = text, mostRepeats
	q := p.open[0]
	p.wrongs++
	if (same || p.wrongs >= mostWrong) && s.trusted {
		s.doubt(q, s.difference(q, n))
		return
	}
	if !same {
		return
	}
	// It counts otherwise: what it says is passed over.
	p.open = p.open[1:]
	s.pass([]*proof{q})
}

// mostRepeats is how often a question is asked once an answer was garbled.
const mostRepeats = 4

// difference says what is wrong with an answer.
func (s *stream) difference(q *proof, n []float64) string {
	at, down, ok := s.placeOf(n)
	switch {
	case !ok && q.isWindow:
		return "the plotter's window is not the one that was set"
	case !ok || q.isWindow:
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
func (s *stream) pass(given []*proof) {
	p := &s.places
	for _, q := range given {
		if q.ok || !q.needed {
			continue
		}
		p.repeats = mostRepeats
		if again(p.open, q) {
			continue
		}
		if !s.trusted {
			if p.unfit == nil {
				p.unfit = q
			}
			continue
		}
		s.doubt(q, "the plotter did not say that a stroke was drawn: its answers were lost")
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
		s.doubt(s.places.unfit, "the pen was not where a stroke was to be drawn")
	}
}

func again(open []*proof, q *proof) bool {
	for _, o := range open {
		if o == q {
			return true
		}
	}
	return false
}

// doubt notes that something is wrong since the last place that was right.
func (s *stream) doubt(q *proof, what string) {
	p := &s.places
	if p.err != nil {
		return
	}
	p.stray = s.strayedSince()
	p.err = &fault.Error{Kind: Garbled, What: what + ": bytes were garbled on their way or lost, or the plotter has restarted",
		Do: "look at cable and power; then go on from what is proved drawn"}
}

// strayedSince returns a stray line that may have begun where the plotter was last
// found right. An answer takes a moment to come.
func (s *stream) strayedSince() *Stray {
	const late = 200 * time.Millisecond
	return &Stray{Last: s.places.seen.at, When: max(0, s.places.seenAt-late), Down: true}
}

// mute returns when a plotter that does not answer is given up: when what it had
// to do since its last answer is over, twice over, and some more; false if it owes
// no answer.
func (s *stream) mute() (time.Duration, bool) {
	p := &s.places
	if len(p.open) == 0 {
		return 0, false
	}
	q := p.open[0]
	work := s.timeline.At(q.end).Seconds - s.timeline.At(p.seen.end).Seconds
	return max(p.heard, q.when) + muteAfter + seconds(1.2*max(0, work)), true
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
		if s.places.err = s.diagnose(); s.places.err == nil {
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
	if told := s.diagnose(); told != nil {
		err = told
		p.stray.Lost = true
	}
	p.err, p.judged = err, true
	return err
}

// diagnose stops the plotter, pen up, and asks it whether it has restarted or was
// unloaded. It returns nil if it has not, or does not say.
func (s *stream) diagnose() error {
	p := &s.places
	p.open = nil
	for range 3 {
		if s.w.Write(s.dropText()) != nil {
			return nil
		}
		if s.told(askAgain) {
			break
		}
	}
	switch {
	case p.told.code == language.Unloaded:
		return unloaded()
	case p.told.status.Began():
		return restarted()
	}
	return nil
}

func restarted() error {
	return &fault.Error{Kind: Restarted, What: "the plotter restarted in mid-job: it no longer knows where it is",
		Do: "look at its power supply; bring it home, and see that the cloth lies where it was, before it draws again"}
}

func unloaded() error {
	return &fault.Error{Kind: Alarm, What: "the plotter reports " + language.ErrorWords(language.Unloaded) + ": what it draws on may have shifted, and its place is lost",
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
	a := stateAnswers{status: !s.places.status}
	_, err := s.await(limit, func() bool { a.take(s); return a.whole() && s.owed <= 0 })
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
			a.code, a.error = max(a.code, n), true
			s.owed--
		}
	}
}

// Strayed returns what is known of a stray line once the plotter was halted. How
// much of what was in it is drawn by then is not known: all that it held may be.
func (s *stream) Strayed() *Stray {
	if s.places.stray != nil {
		s.places.stray.Until = s.w.Now()
	}
	return s.places.stray
}
