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
	tells    bool                // it answers device controls at least
	raised   bool                // Raise lifted the pen since the last chunk
	owed     int                 // answers to questions for its error
	places   places
	clips    []clip
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
	s := &stream{w: w, job: job, timeline: t, language: l, queries: l.Queries(), reader: r, gate: g, size: job.Machine.Serial.Buffer}
	s.places.repeats = 2
	if s.queries.Window != "" && !language.OwnsWindow(job.Text) {
		s.clips = clips(job, l.Chunks(job.Text), func(end int) float64 { return t.At(end).Seconds }, w.PerByte)
	}
	return s
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
// drawn yet, unless the plotter was found farther on.
func (s *stream) Done() int { return max(0, s.last-s.size-deepQueue, s.places.seen.end) }

func (s *stream) Raise() (bool, error) {
	up := s.language.Raise()
	if up == nil {
		return false, nil
	}
	s.raised = true
	return true, s.put(up)
}

func (*stream) Sees() (place, pen bool) { return false, false }

func (*stream) SeeDown(int, time.Duration) error { return nil }

func (*stream) Trust() {}

func (*stream) Restarted() bool { return false }

// Proves is false for a plotter that cannot be asked where it is: it may say that
// it has done all, but not that it was all there.
func (s *stream) Proves() bool {
	return s.talks && (s.answersLines() || s.places.answered && s.places.unfit == nil)
}

func (s *stream) Onward(job Job, t timeline.Timeline) Control {
	on := newStream(s.w, job, t, s.language, s.reader, s.gate)
	was, p := &s.places, &on.places
	on.talks, on.trusted, on.tells = s.talks, s.trusted, s.tells
	p.answered, p.status, p.windows, p.whole, p.clipped = was.answered, was.status, was.windows, was.whole, was.clipped
	p.repeats, p.penHeard, p.fresh = was.repeats, was.penHeard, was.fresh
	return on
}

// askAgain is how long an answer may take of a plotter that has nothing to do
// before it counts as lost.
const askAgain = time.Second

// Where asks for the pen's position, in plotter units.
func (s *stream) Where() (paths.Point, bool) {
	at, _, ok := s.look()
	return at, ok
}

// look asks where the pen is, and whether it is down. It asks again when an
// answer is lost.
func (s *stream) look() (at paths.Point, down, ok bool) {
	if s.queries.Place == "" || !s.talks {
		return at, false, false
	}
	for range 3 {
		if s.gate.rest(s) != nil || s.w.Write([]byte(s.queries.Place)) != nil {
			return at, false, false
		}
		done, err := s.await(s.soon(), func() bool {
			text, whole := s.w.UpTo('\r', '\n')
			for ; whole && !ok; text, whole = s.w.UpTo('\r', '\n') {
				at, down, ok = language.ParsePlace(s.job.Machine, text)
			}
			return ok
		})
		if done || err != nil {
			return at, down, done && err == nil
		}
	}
	return at, false, false
}

// soon is how long the plotter may take to answer what is asked now: until it is
// predicted to have done all, a fifth longer, and some.
func (s *stream) soon() time.Duration { return max(0, s.due.Busy-s.w.Now())*6/5 + askAgain }

// Greet sets up the handshake, ends whatever an earlier sender may have left half
// said, lifts the pen, and finds out what the plotter answers. Not every plotter
// does; those that only listen cannot.
func (s *stream) Greet() error {
	if err := s.w.Quiet(pollAgain, s.w.Now()+replyTime); err != nil {
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
		if errors.Is(err, Silent) && s.w.Babble() {
			return wrongBaud(s.job)
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
		return wrongBaud(s.job)
	}
	return nil
}

// learn finds out what the plotter answers. Asking for its error also clears an
// old one, and what it thinks of the other questions.
func (s *stream) learn() error {
	p := &s.places
	for range 3 {
		if s.talks = s.told(replyTime); s.talks || p.err != nil {
			break
		}
	}
	if p.err != nil || !s.talks {
		if p.err == nil {
			s.tells = s.extended(askAgain) >= 0
		}
		return p.err
	}
	_, p.answered = s.Where()
	p.status = true
	p.status = s.told(askAgain)
	if p.answered && len(s.clips) > 0 {
		p.whole, p.windows = s.wholeWindow()
	}
	s.told(askAgain)
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
		came, err := s.await(askAgain, func() (whole bool) {
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
		if v, bad := strconv.Atoi(text); whole && bad == nil {
			n = v
		}
		return n >= 0
	})
	if err != nil {
		return -1
	}
	return n
}

// Send writes the chunk as the gate lets it through.
func (s *stream) Send(c language.Chunk) error {
	if err := s.putClip(c.Start); err != nil {
		return err
	}
	s.raised = false
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
	if name := strings.TrimLeft(string(text), " \r\n;"); strings.HasPrefix(name, "IN") {
		if err := s.begun(); err != nil {
			return err
		}
	}
	return s.askPlace(s.timeline.At(c.End))
}

// begun follows an instruction that initialises the plotter. Its state says so as
// it says that it was switched on, so it is asked at once.
func (s *stream) begun() error {
	p := &s.places
	p.fresh, p.clipped = true, false
	if !p.status || len(p.open) > 0 {
		return nil
	}
	if err := s.putRoom(); err != nil {
		return err
	}
	s.told(s.soon())
	return s.failed()
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
	return s.failed()
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
		if err := s.read(until); err != nil {
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
		if err := s.read(deadline); err != nil {
			return false, err
		}
	}
	return true, nil
}

// silent is the error of a plotter that takes nothing any more.
func (s *stream) silent(d time.Duration) error {
	return &fault.Error{Kind: Silent, What: fmt.Sprintf("the machine has taken nothing for %.0f seconds", d.Seconds()),
		Do: "look at plug, power and the machine's panel: paper or pen may be asked for; if it was switched off, its place is lost"}
}

// Settle asks for the plotter's error, which it answers when it has got there,
// or waits for as long as the work should take.
func (s *stream) Settle() error {
	if s.answersLines() {
		return s.settleLines()
	}
	if s.last == len(s.job.Text) {
		if err := s.unclip(); err != nil {
			return err
		}
	}
	if s.talks {
		return s.settleAnswer()
	}
	for s.due.Busy > s.w.Now() {
		if err := s.read(s.due.Busy); err != nil {
			return err
		}
	}
	if s.tells {
		return s.settleExtended()
	}
	return nil
}

// settleExtended waits until a plotter that answers only device controls says that
// it is empty and at rest.
func (s *stream) settleExtended() error {
	limit := s.patience()
	for began, misses := s.w.Now(), 0; ; {
		switch n := s.extended(askAgain); {
		case n >= 32:
			return unloaded()
		case n >= 0 && n&8 != 0:
			return nil
		case n < 0:
			misses++
		default:
			misses = 0
		}
		if misses > 5 || s.w.Now()-began > limit {
			return s.silent(s.w.Now() - began)
		}
		if err := s.read(s.w.Now() + pollEvery); err != nil {
			return err
		}
	}
}

// settleAnswer asks for place, state and error, again when the answers do not
// come. Those to questions of before may be late: the place tells which are which.
func (s *stream) settleAnswer() error {
	began := s.w.Now()
	limit := max(0, s.due.Busy-began) + motionSlip + muteAfter
	if m := s.timeline.At(s.last); m.Moved && s.places.answered {
		if err := s.askProof(&proof{at: m.At, down: m.Down && !s.raised, end: s.last}); err != nil {
			return err
		}
	}
	for again := false; ; {
		if err := s.putRoom(); err != nil {
			return err
		}
		ok := s.told(s.soon())
		if err := s.failed(); err != nil {
			return err
		}
		if ok && !again && len(s.places.open) > 0 {
			again = true
			if _, err := s.await(s.soon(), func() bool { return len(s.places.open) == 0 }); err != nil {
				return err
			}
			continue
		}
		if ok {
			return s.settled()
		}
		if s.w.Now()-began > limit {
			return s.silent(s.w.Now() - began)
		}
	}
}

// putRoom waits until a question surely fits.
func (s *stream) putRoom() error {
	const question = 16 // bytes
	if err := s.gate.room(s, question); err != nil {
		return err
	}
	return s.failed()
}

// settled judges what a plotter says that has done all that was written.
func (s *stream) settled() error {
	p := &s.places
	lost, told := p.open, p.told
	p.open, p.told = nil, condition{}
	const overflow = 6 // a position out of reach, which need not show in the state
	switch {
	case told.code == language.Unloaded:
		return unloaded()
	case told.status.Began():
		return restarted()
	case told.code != 0 && (told.status.Failed() || told.code == overflow || !p.status), told.status.Failed():
		what := language.ErrorWords(told.code)
		if told.code == 0 {
			what = "an error"
		}
		return &fault.Error{Kind: Rejected, What: "the plotter reports " + what,
			Do: "look at what it drew: something may be missing; prepare the program for this machine"}
	}
	s.pass(lost)
	if err := s.failed(); err != nil {
		return err
	}
	return s.astray()
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
	case !known && s.places.answered:
		return s.silent(3 * askAgain)
	case !known:
		return nil
	case at.Dist(m.At) <= onPlace:
		s.counts()
		return s.failed()
	case !s.trusted:
		return nil
	}
	return &fault.Error{Kind: Garbled, What: fmt.Sprintf("the plotter stands at %.2f, %.2f and not at %.2f, %.2f: bytes were lost, or it has restarted",
		at.X, at.Y, m.At.X, m.At.Y), Do: "look at cable and power; see that its origin is where it was before it draws again"}
}

// Halt drops what the plotter holds and lifts the pen. What it has begun it
// still finishes.
func (s *stream) Halt() Left {
	p := &s.places
	p.open, p.err = nil, nil
	if s.answersLines() {
		if s.put(s.language.PenUp(s.job.Machine)) != nil {
			return PenUnknown
		}
		return PenSent
	}
	if s.w.Write(s.dropText()) != nil {
		return PenUnknown
	}
	if !s.talks || !p.answered {
		return PenSent
	}
	// What it said before it forgot the rest is of no account.
	const answer = 40 // bytes
	if s.flushed(s.w.Left()+answer*s.w.PerByte) != nil {
		return PenUnknown
	}
	limit := s.w.Now() + motionSlip
	for s.w.Now() < limit {
		_, down, ok := s.look()
		if ok && !down {
			return PenLifted
		}
		// A byte of it may have been garbled, or the plotter was starting.
		if s.w.Write(s.dropText()) != nil {
			return PenUnknown
		}
	}
	return PenSent
}

// flushed waits until a time, and drops what comes.
func (s *stream) flushed(until time.Duration) error {
	for s.w.Now() < until {
		if _, err := s.w.Read(until); err != nil {
			return err
		}
	}
	s.w.Drop()
	return nil
}
