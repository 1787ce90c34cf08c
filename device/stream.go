package device

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/profiles"
)

// stream feeds a plotter that takes a program as a row of bytes, with a gate
// that knows when more of them may go.
type stream struct {
	w      *wire
	job    Job
	course course
	gate   gate
	guess  guess // slow by a tenth: what the machine is surely done with
	size   int   // bytes the plotter holds
	last   int   // offset of the text written so far
	lines  int   // of G-code, not answered yet
	talks  bool  // it answers questions in its language
	// trusted tells that it was found once where it should be.
	trusted bool
	places  places
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

func newStream(w *wire, job Job, c course, g gate) *stream {
	return &stream{w: w, job: job, course: c, gate: g, size: job.Machine.Serial.Buffer}
}

func (s *stream) isGCode() bool { return s.job.Machine.Language == profiles.GCode }

func (s *stream) written() int { return s.last }

// taken leaves out nothing: what the plotter has in its buffer is a matter for
// the prediction.
func (s *stream) taken() int { return s.last }

// done leaves out what the buffer holds, and what may have left it and not be
// drawn yet.
func (s *stream) done() int { return max(0, s.last-s.size-1024) }

// raise is for the HP-GL languages: their instructions say for themselves where
// the pen is.
func (s *stream) raise() (bool, error) {
	if s.isGCode() {
		return false, nil
	}
	return true, s.put([]byte("PU;"))
}

func (*stream) sees() (place, pen bool) { return false, false }

func (*stream) seeDown(int, time.Duration) error { return nil }

func (*stream) trust() {}

func (s *stream) restarted() bool { return false }

func (s *stream) proves() bool { return s.talks }

func (s *stream) onward(job Job, c course) flow {
	return &stream{w: s.w, job: job, course: c, gate: s.gate, size: s.size, talks: s.talks, trusted: s.trusted,
		places: places{answered: s.places.answered}}
}

// where asks for the pen's position, in plotter units, and whether it is down.
func (s *stream) where() (paths.Point, bool) {
	if s.isGCode() || !s.talks || s.put([]byte("OA;")) != nil || s.gate.rest(s) != nil {
		return paths.Point{}, false
	}
	var at paths.Point
	ok, err := s.await(s.patience(), func() bool {
		s.hear()
		line, whole := s.w.upTo('\r', '\n')
		p, is := s.parsePlace(line)
		if whole && is {
			at = p
		}
		return whole && is
	})
	return at, ok && err == nil
}

// greet sets up the handshake, and asks for the plotter's error, which also
// clears an old one. Not every plotter answers; those that have nothing but a
// way in cannot.
func (s *stream) greet() error {
	if err := s.w.quiet(pollAgain, s.w.now()+replyTime); err != nil {
		return err
	}
	s.w.in, s.w.babble = nil, false
	if err := s.gate.open(s); err != nil {
		if errors.Is(err, Silent) && s.w.babble {
			return garbage(s.job)
		}
		return err
	}
	if s.isGCode() {
		return nil
	}
	_, ok, err := s.ask("OE;", replyTime)
	if s.talks = ok; ok && err == nil {
		_, s.places.answered = s.where()
	}
	if err == nil && !ok && s.w.babble {
		return garbage(s.job)
	}
	return err
}

// send writes the piece as the gate lets it through.
func (s *stream) send(p piece) error {
	before := s.course.at(p.start).seconds
	text := s.job.Text[p.start:p.end]
	for at := 0; at < len(text); {
		n := min(len(text)-at, s.gate.burst(s))
		if err := s.put(text[at : at+n]); err != nil {
			return err
		}
		at += n
		from := s.last
		s.last = p.start + at
		now := s.course.at(s.last).seconds
		s.guess.sent(s.w.now(), from, s.last, 1.1*(now-before))
		before = now
	}
	if s.isGCode() {
		s.lines++
		return s.answers()
	}
	return s.askPlace(s.course.at(p.end))
}

// put writes bytes when there is room.
func (s *stream) put(b []byte) error {
	if err := s.gate.room(s, len(b)); err != nil {
		return err
	}
	if err := s.w.write(b); err != nil {
		return err
	}
	s.hear()
	return s.places.err
}

// patience is how long the plotter may take over what it holds at most: twice
// the predicted time, and some.
func (s *stream) patience() time.Duration {
	held := s.course.at(s.last).seconds - s.course.at(s.last-s.size).seconds
	return motionSlip + seconds(2*held) + max(0, s.guess.busy-s.w.now())
}

// await reads until done, or until the machine has been silent for too long.
func (s *stream) await(limit time.Duration, done func() bool) (bool, error) {
	deadline := s.w.now() + limit
	for !done() {
		if s.w.now() >= deadline {
			return false, nil
		}
		if _, err := s.w.read(deadline); err != nil {
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
		line, whole := s.w.upTo('\r', '\n')
		if !whole {
			return s.places.err != nil
		}
		v, err := strconv.Atoi(strings.TrimSpace(line))
		n = v
		return err == nil || s.places.err != nil
	})
	s.places.open = nil // what was not answered before this never will be
	if err == nil {
		err = s.places.err
	}
	return n, ok, err
}

// settle asks for the plotter's error, which it answers when it has got there,
// or waits for as long as the work should take.
func (s *stream) settle() error {
	if s.isGCode() {
		return s.settleLines()
	}
	if s.talks {
		limit := s.patience()
		code, ok, err := s.ask("OE;", limit)
		if err == nil && !ok { // the question or the answer was lost
			code, ok, err = s.ask("OE;", replyTime)
		}
		switch {
		case err != nil:
			return err
		case !ok:
			return s.silent(limit)
		case code != 0:
			return &fault.Error{Kind: Rejected, What: "the plotter reports " + hpglError(code),
				Do: "look at what it drew: something may be missing; prepare the program for this machine"}
		}
		return s.astray()
	}
	for s.guess.busy > s.w.now() {
		if _, err := s.w.read(s.guess.busy); err != nil {
			return err
		}
	}
	return nil
}

// astray returns an error when the plotter, having taken all that was written,
// does not stand where that leads, although it once did: bytes were lost on the
// way, or it restarted. Not every plotter counts from where the program does, so
// one that never did is not judged.
func (s *stream) astray() error {
	m := s.course.at(s.last)
	if !m.moved {
		return nil
	}
	at, known := s.where()
	if !known {
		return nil
	}
	want := m.at
	if at.Dist(want) <= strayed {
		s.trusted = true
		return nil
	}
	if !s.trusted {
		return nil
	}
	return &fault.Error{Kind: Garbled, What: fmt.Sprintf("the plotter stands at %.2f, %.2f and not at %.2f, %.2f: bytes were lost, or it has restarted",
		at.X, at.Y, want.X, want.Y), Do: "look at cable and power; see that its origin is where it was before it draws again"}
}

// answers takes in what a G-code controller has said.
func (s *stream) answers() error {
	for line, ok := s.w.line(); ok; line, ok = s.w.line() {
		switch r := parseReply(line); r.kind {
		case replyOK:
			s.talks = true
			s.lines = max(0, s.lines-1)
		case replyError:
			return &fault.Error{Kind: Rejected, What: fmt.Sprintf("the machine refused a line with %q", r.text), Do: "its manual says what the number means"}
		case replyAlarm:
			return &fault.Error{Kind: Alarm, What: fmt.Sprintf("the machine stopped by itself: %q", r.text),
				Do: "find out why from its manual; bring it home before it draws again"}
		}
	}
	return nil
}

// settleLines sends a dwell of no length and waits until every line is
// answered, if lines are, or for as long as the work should take.
func (s *stream) settleLines() error {
	if err := s.put([]byte("G4 P0\n")); err != nil {
		return err
	}
	s.lines++
	limit := s.patience()
	var bad error
	_, err := s.await(limit, func() bool {
		bad = s.answers()
		return bad != nil || s.talks && s.lines == 0 || !s.talks && s.w.now() > s.guess.busy
	})
	if bad != nil {
		return bad
	}
	return err
}

// halt drops what the plotter holds and lifts the pen. What it has begun it
// still finishes.
func (s *stream) halt() string {
	if s.isGCode() {
		up := "\n" + strings.Join(s.job.Machine.Lift.Up, "\n") + "\n"
		if s.put([]byte(up)) != nil {
			return penUnknown
		}
		return penSent
	}
	// ESC . K drops the buffer, ETX ends a label, the semicolon whatever else
	// was begun.
	s.places.open, s.places.err = nil, nil
	if s.w.write([]byte("\x1b.K\x03;PU;")) != nil {
		return penUnknown
	}
	if !s.talks {
		return penSent
	}
	if s.w.write([]byte("OE;")) != nil {
		return penUnknown
	}
	ok, err := s.await(s.patience(), func() bool {
		line, whole := s.w.upTo('\r', '\n')
		_, bad := strconv.Atoi(strings.TrimSpace(line))
		return whole && bad == nil
	})
	if err != nil {
		return penUnknown
	}
	if !ok {
		return penSent
	}
	return penLifted
}

const penSent = "the machine was told to lift the pen, and does not say whether it has: look"

// hpglError names an error number: HP 7470A Interfacing and Programming Manual,
// page 1-13.
func hpglError(code int) string {
	names := map[int]string{1: "an unknown instruction", 2: "a wrong number of parameters", 3: "a parameter out of range",
		5: "an unknown character set", 6: "a position out of its reach", 8: "paper that is not loaded"}
	if s, ok := names[code]; ok {
		return fmt.Sprintf("error %d, %s", code, s)
	}
	return fmt.Sprintf("error %d", code)
}
