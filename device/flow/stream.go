package flow

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"weftplot/device/line"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
)

// stream is the control of a plotter that takes a program as a row of bytes, with
// a gate that knows when more of them may go.
type stream struct {
	w        *line.Wire
	job      Job
	timeline timeline.Timeline
	language language.Language
	queries  language.Queries
	reader   *reader
	gate     gate
	due      timeline.Prediction // slow by a tenth: what the machine is surely done with
	size     int                 // bytes the plotter holds
	last     int                 // offset of the text written so far
	lines    int                 // not answered yet, of a language whose lines are answered
	talks    bool                // it answers questions in its language
	trusted  bool                // it was found once where it should be
	places   places
}

// gate is a handshake: it tells when more bytes may be written.
type gate interface {
	// open sets the handshake up and finds out that the plotter listens.
	open(s *stream) error
	// room waits until n bytes may be written, n no more than burst.
	room(s *stream, n int) error
	// burst is the most bytes that may be written at once.
	burst(s *stream) int
	// rest waits for the answers to its own questions.
	rest(s *stream) error
}

func newStream(w *line.Wire, job Job, t timeline.Timeline, l language.Language, r *reader, g gate) *stream {
	return &stream{w: w, job: job, timeline: t, language: l, queries: l.Queries(), reader: r, gate: g, size: job.Machine.Serial.Buffer}
}

// answersLines reports whether the lines of the language are answered one by one.
func (s *stream) answersLines() bool { return s.queries.Wait != "" }

func (s *stream) Written() int { return s.last }

// Acknowledged leaves out nothing: what the plotter has in its buffer is a matter
// for the prediction.
func (s *stream) Acknowledged() int { return s.last }

// deepQueue is how many bytes of a program may have left a plotter's buffer and
// not be drawn yet: more than plotters queue (common practice).
const deepQueue = 1024

// Done leaves out what the buffer holds, and what may have left it and not be
// drawn yet.
func (s *stream) Done() int { return max(0, s.last-s.size-deepQueue) }

func (s *stream) Raise() (bool, error) {
	up := s.language.Raise()
	if up == nil {
		return false, nil
	}
	return true, s.put(up)
}

func (*stream) Sees() (place, pen bool) { return false, false }

func (*stream) SeeDown(int, time.Duration) error { return nil }

func (*stream) Trust() {}

func (*stream) Restarted() bool { return false }

func (s *stream) Proves() bool { return s.talks }

func (s *stream) Onward(job Job, t timeline.Timeline) Control {
	on := newStream(s.w, job, t, s.language, s.reader, s.gate)
	on.talks, on.trusted, on.places.answered = s.talks, s.trusted, s.places.answered
	return on
}

// Where asks for the pen's position, in plotter units.
func (s *stream) Where() (paths.Point, bool) {
	if s.queries.Place == "" || !s.talks || s.put([]byte(s.queries.Place)) != nil || s.gate.rest(s) != nil {
		return paths.Point{}, false
	}
	var at paths.Point
	ok, err := s.await(s.patience(), func() bool {
		s.hear()
		answer, whole := s.w.UpTo('\r', '\n')
		p, is := language.ParsePlace(s.job.Machine, answer)
		if whole && is {
			at = p
		}
		return whole && is
	})
	return at, ok && err == nil
}

// Greet sets up the handshake, and asks for the plotter's error, which also
// clears an old one. Not every plotter answers; those that only listen cannot.
func (s *stream) Greet() error {
	if err := s.w.Quiet(pollAgain, s.w.Now()+replyTime); err != nil {
		return err
	}
	s.w.Forget()
	if err := s.gate.open(s); err != nil {
		if errors.Is(err, Silent) && s.w.Babble() {
			return wrongBaud(s.job)
		}
		return err
	}
	if s.queries.Error == "" {
		return nil
	}
	_, ok, err := s.ask(s.queries.Error, replyTime)
	if s.talks = ok; ok && err == nil {
		_, s.places.answered = s.Where()
	}
	if err == nil && !ok && s.w.Babble() {
		return wrongBaud(s.job)
	}
	return err
}

// Send writes the chunk as the gate lets it through.
func (s *stream) Send(c language.Chunk) error {
	before := s.timeline.At(c.Start).Seconds
	text := s.job.Text[c.Start:c.End]
	for at := 0; at < len(text); {
		n := min(len(text)-at, s.gate.burst(s))
		if err := s.put(text[at : at+n]); err != nil {
			return err
		}
		at += n
		from := s.last
		s.last = c.Start + at
		now := s.timeline.At(s.last).Seconds
		s.due.Sent(s.w.Now(), from, s.last, 1.1*(now-before))
		before = now
	}
	if s.answersLines() {
		s.lines++
		return s.hearLines()
	}
	return s.askPlace(s.timeline.At(c.End))
}

// put writes bytes when there is room.
func (s *stream) put(b []byte) error {
	if err := s.gate.room(s, len(b)); err != nil {
		return err
	}
	if err := s.w.Write(b); err != nil {
		return err
	}
	s.hear()
	return s.places.err
}

// pace waits until no more than so many bytes are still on their way, going by
// the baud rate, and hears what comes meanwhile.
func (s *stream) pace(bytes int) error {
	ahead := time.Duration(bytes) * s.w.PerByte
	for {
		until := s.w.Left() - ahead
		if until <= s.w.Now() {
			return s.w.Halted()
		}
		if _, err := s.w.Read(until); err != nil {
			return err
		}
	}
}

// patience is how long the plotter may take over what it holds at most: twice
// the predicted time, and some.
func (s *stream) patience() time.Duration {
	held := s.timeline.At(s.last).Seconds - s.timeline.At(s.last-s.size).Seconds
	return motionSlip + seconds(2*held) + max(0, s.due.Busy-s.w.Now())
}

// await reads until done, or until the machine has been silent for too long.
func (s *stream) await(limit time.Duration, done func() bool) (bool, error) {
	deadline := s.w.Now() + limit
	for !done() {
		if s.w.Now() >= deadline {
			return false, nil
		}
		if _, err := s.w.Read(deadline); err != nil {
			return false, err
		}
	}
	return true, nil
}

// silent is the error of a plotter that takes nothing any more.
func (s *stream) silent(d time.Duration) error {
	return &fault.Error{Kind: Silent, What: fmt.Sprintf("the machine has taken nothing for %.0f seconds", d.Seconds()),
		Do: "look at plug, power and the machine's panel: paper or pen may be asked for"}
}

// ask sends an output instruction and waits for the number that answers it.
func (s *stream) ask(question string, limit time.Duration) (n int, ok bool, err error) {
	if err := s.put([]byte(question)); err != nil {
		return 0, false, err
	}
	if err := s.gate.rest(s); err != nil {
		return 0, false, err
	}
	ok, err = s.await(limit, func() bool {
		s.hear()
		answer, whole := s.w.UpTo('\r', '\n')
		if !whole {
			return s.places.err != nil
		}
		v, err := strconv.Atoi(strings.TrimSpace(answer))
		n = v
		return err == nil || s.places.err != nil
	})
	s.places.open = nil // what was not answered before this never will be
	if err == nil {
		err = s.places.err
	}
	return n, ok, err
}

// Settle asks for the plotter's error, which it answers when it has got there,
// or waits for as long as the work should take.
func (s *stream) Settle() error {
	switch {
	case s.answersLines():
		return s.settleLines()
	case s.talks:
		return s.settleAnswer()
	}
	for s.due.Busy > s.w.Now() {
		if _, err := s.w.Read(s.due.Busy); err != nil {
			return err
		}
	}
	return nil
}

func (s *stream) settleAnswer() error {
	limit := s.patience()
	code, ok, err := s.ask(s.queries.Error, limit)
	if err == nil && !ok { // the question or the answer was lost
		code, ok, err = s.ask(s.queries.Error, replyTime)
	}
	switch {
	case err != nil:
		return err
	case !ok:
		return s.silent(limit)
	case code != 0:
		return &fault.Error{Kind: Rejected, What: "the plotter reports " + language.ErrorWords(code),
			Do: "look at what it drew: something may be missing; prepare the program for this machine"}
	}
	return s.astray()
}

// Halt drops what the plotter holds and lifts the pen. What it has begun it
// still finishes.
func (s *stream) Halt() Left {
	s.places.open, s.places.err = nil, nil
	up := s.language.PenUp(s.job.Machine)
	if s.answersLines() {
		if s.put(up) != nil {
			return PenUnknown
		}
		return PenSent
	}
	const dropBuffer = "\x1b.K" // HP 7470A Interfacing and Programming Manual, chapter 10
	if s.w.Write(append([]byte(dropBuffer), up...)) != nil {
		return PenUnknown
	}
	if !s.talks {
		return PenSent
	}
	if s.w.Write([]byte(s.queries.Error)) != nil {
		return PenUnknown
	}
	ok, err := s.await(s.patience(), func() bool {
		answer, whole := s.w.UpTo('\r', '\n')
		_, bad := strconv.Atoi(strings.TrimSpace(answer))
		return whole && bad == nil
	})
	if err != nil {
		return PenUnknown
	}
	if !ok {
		return PenSent
	}
	return PenLifted
}
