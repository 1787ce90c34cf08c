package streamed

import (
	"fmt"
	"strings"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/device/line"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// stream is the control of a plotter that takes a program as a row of bytes, with
// a gate that knows when more of them may go.
type stream struct {
	w        *line.Wire
	job      flow.Job
	timeline timeline.Timeline
	language language.Language
	queries  language.Queries
	reader   *answers.Reader
	gate     gate
	due      timeline.Prediction // slow by a tenth: what the machine is surely done with
	size     int                 // bytes the plotter holds
	last     int                 // offset of the text written so far
	lines    int                 // not answered yet, of a language whose lines are answered
	talks    bool                // it answers questions in its language
	trusted  bool                // it was found once where it should be
	tells    bool                // it answers device controls at least
	raised   bool                // Raise lifted the pen since the last chunk
	gone     bool                // it was found to be silent
	glanced  time.Duration       // when glance last asked
	owed     int                 // answers to questions for its error
	counted  bool                // room is known only by what it says that it has done
	late     time.Duration       // how late its answers come, on this line
	lag      time.Duration       // how late the last to a question for its state was, -1 if that is not known
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

// New returns the control of a machine whose profile names a streamed flow. A
// profile whose flow control does not suit its language is a [fault.Error].
func New(w *line.Wire, job flow.Job, t timeline.Timeline) (flow.Control, error) {
	serial := job.Machine.Serial
	lang, err := language.Of(job.Machine.Language)
	if err != nil {
		return nil, err
	}
	answersLines := lang.Queries().Wait != ""
	if (serial.Flow == profiles.SpaceQuery || serial.Flow == profiles.EnqAck) && answersLines {
		return nil, fault.Bad("serial.flow", "choose line-ack, xon-xoff or none", "%s is for the HP-GL languages", serial.Flow)
	}
	read, err := answers.NewReader(serial.Manner)
	if err != nil {
		return nil, err
	}
	var g gate
	switch serial.Flow {
	case profiles.XonXoff:
		g = &xonXoff{setUp: !answersLines}
	case profiles.SpaceQuery:
		g = &spaceQuery{}
	case profiles.EnqAck:
		g = &enqAck{}
	case profiles.NoFlow:
		g = &paced{}
	default:
		return nil, fault.Bad("serial.flow", "", "%q is no flow control", serial.Flow)
	}
	return newStream(w, job, t, lang, read, g), nil
}

func newStream(w *line.Wire, job flow.Job, t timeline.Timeline, l language.Language, r *answers.Reader, g gate) *stream {
	s := &stream{w: w, job: job, timeline: t, language: l, queries: l.Queries(), reader: r, gate: g, size: job.Machine.Serial.Buffer}
	s.places.repeats = 3
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

// Tells is false where lines are answered: their answers tell no place.
func (s *stream) Tells() bool { return s.Proves() && !s.answersLines() }

func (s *stream) Onward(job flow.Job, t timeline.Timeline) flow.Control {
	on := newStream(s.w, job, t, s.language, s.reader, s.gate)
	was, p := &s.places, &on.places
	on.talks, on.trusted, on.tells, on.late = s.talks, s.trusted, s.tells, s.late
	p.answered, p.status, p.windows, p.whole, p.clipped = was.answered, was.status, was.windows, was.whole, was.clipped
	p.repeats, p.penHeard, p.fresh = was.repeats, was.penHeard, was.fresh
	return on
}

// askAgain is how long an answer may take of a plotter that has nothing to do
// before it counts as lost, on a line that is not late.
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
	tries := 3
	if s.gone {
		tries = 1
	}
	for range tries {
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
func (s *stream) soon() time.Duration { return max(0, s.due.Busy-s.w.Now())*6/5 + s.again() }

// Send writes the chunk as the gate lets it through.
func (s *stream) Send(c language.Chunk) error {
	if err := s.putClip(c.Start); err != nil {
		return err
	}
	s.raised = false
	if err := s.glance(); err != nil {
		return err
	}
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
	return flow.MotionSlip + s.late + flow.Seconds(2*held) + max(0, s.due.Busy-s.w.Now())
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
	s.gone = true
	return s.unseen(&fault.Error{Kind: flow.Silent, What: fmt.Sprintf("the machine has taken nothing for %.0f seconds", d.Seconds()),
		Do: "look at plug, power and the machine's panel: paper or pen may be asked for; if it was switched off, its place is lost"})
}
