package acked

import (
	"slices"
	"strings"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/device/line"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/gcode"
	"weftplot/plot/language"
)

// lineAck is the control of a controller that answers every line: it gives a
// dialogue a port and a clock.
type lineAck struct {
	w    *line.Wire
	d    *dialogue
	came bool // bytes came, and not all lines in them were handled
}

// New returns the control of a machine whose profile names the line-acknowledged
// flow. A profile whose language has no lines that are answered is a [fault.Error].
func New(w *line.Wire, job flow.Job, t timeline.Timeline) (flow.Control, error) {
	lang, err := language.Of(job.Machine.Language)
	if err != nil {
		return nil, err
	}
	if lang.Queries().Wait == "" {
		return nil, fault.Bad("serial.flow", "choose xon-xoff, space-query, enq-ack or none",
			"line-ack is for G-code, this machine reads %s", job.Machine.Language)
	}
	read, err := answers.NewReader(job.Machine.Serial.Manner)
	if err != nil {
		return nil, err
	}
	return newLineAck(w, newDialogue(job, t, lang, read, w.PerByte)), nil
}

func newLineAck(w *line.Wire, d *dialogue) *lineAck { return &lineAck{w: w, d: d} }

func (l *lineAck) Written() int { return l.d.window.written }

func (l *lineAck) Acknowledged() int { return l.d.window.acknowledged }

func (l *lineAck) Done() int { return l.d.window.done() }

// Raise leaves it to the program: its lines that lift the pen may set modes.
func (l *lineAck) Raise() (bool, error) { return false, nil }

func (l *lineAck) Restarted() bool { return l.d.greetings.atOpening }

func (l *lineAck) Lost() bool { return l.d.greetings.lost }

// Proves leaves out a controller that tells neither by reports nor by its answer to
// a dwell that it has come to the end.
func (l *lineAck) Proves() bool { return l.d.questions.live || !l.d.early }

func (l *lineAck) Tells() bool {
	place, _ := l.Sees()
	return place
}

func (l *lineAck) Hear() error {
	for s, ok := l.w.Line(); ok; s, ok = l.w.Line() {
		e := heard(l.d.reader.Read(s))
		e.now = l.w.Now()
		if err := l.d.overhear(e); err != nil {
			return err
		}
	}
	return nil
}

func (l *lineAck) Trust() { l.d.follower.trusted = true }

func (l *lineAck) Where() (paths.Point, bool) { return l.d.where() }

func (l *lineAck) Onward(job flow.Job, t timeline.Timeline) flow.Control {
	return newLineAck(l.w, l.d.onward(job, t, l.w.Now()))
}

// Sees reports whether the machine tells its place, and its pen is moved by Z and
// was found as it should be.
func (l *lineAck) Sees() (place, pen bool) {
	_, known := l.d.where()
	place = l.d.questions.live && known
	return place, place && l.d.follower.heeded
}

func (l *lineAck) Strayed() *flow.Stray {
	s := l.d.sighting()
	if !l.d.questions.live || l.d.worth.nothing {
		if !l.d.wrong {
			return nil
		}
		return &flow.Stray{Unseen: true, Down: true, Lost: true}
	}
	s.now = l.w.Now()
	return l.d.follower.strayed(s, l.d.halting.stood)
}

func (l *lineAck) Greet() error { return l.run(event{kind: greet}) }

func (l *lineAck) Settle() error { return l.run(event{kind: settle}) }

func (l *lineAck) SeeDown(stroke int, until time.Duration) error {
	return l.run(event{kind: watch, stroke: stroke, until: until})
}

func (l *lineAck) Halt() flow.Left {
	if l.run(event{kind: halt}) != nil {
		return flow.PenUnknown
	}
	return l.d.halting.left
}

func (l *lineAck) Send(c language.Chunk) error {
	o := openLine{text: chunkText(l.d.job.Text, c), end: c.End, line: c.Line}
	if !l.movesUnseen(o.text) {
		return l.run(event{kind: send, lines: []openLine{o}})
	}
	twice := o
	twice.end = 0
	lines := []openLine{twice, o}
	if isPenLine(l.d.job.Machine.Lift.Up, o.text) {
		lines = append([]openLine{{text: l.d.separator()}}, lines...)
	}
	return l.run(event{kind: send, lines: lines})
}

// movesUnseen reports whether a line lifts or lowers a pen whose height is not
// reported. Such a line is sent twice: garbled once, a stroke would not be drawn, or
// the pen would be dragged to the next. Pen lines are absolute, so that the second
// does nothing more.
func (l *lineAck) movesUnseen(text string) bool {
	d := l.d
	if len(d.follower.heights) > 0 && d.questions.live && d.status.HasZ {
		return false
	}
	lift := d.job.Machine.Lift
	return (isPenLine(lift.Up, text) || isPenLine(lift.Down, text)) && !strings.HasPrefix(text, "G4")
}

// isPenLine reports whether a line of a program is one of a profile's pen lines, which a
// compact program has without their blanks and some zeros.
func isPenLine(lines []string, text string) bool {
	return slices.ContainsFunc(lines, func(l string) bool { return gcode.SameLine(l, text) })
}

// separator is a line to go before one that lifts the pen. Where the end of the
// line before it is lost, the two become one, which lifts the pen before the stroke
// is drawn to its end: this one takes its place. A dwell makes the move before it
// fail, which is seen.
func (d *dialogue) separator() string {
	if d.probe.known {
		return ""
	}
	return d.waitLine()
}

// run hands the dialogue an event and all that follow, until it rests.
func (l *lineAck) run(e event) error {
	l.came = false
	for {
		// Lines that lift the pen are sent even where nothing answers them.
		if err := l.tell(e); err != nil && l.d.state != lifting {
			return err
		}
		if l.d.rests() {
			return nil
		}
		var err error
		if e, err = l.next(); err != nil && l.d.state != lifting {
			return err
		}
	}
}

// next waits for the next event: a line that came, the pause after the last line,
// or a deadline. After an error the event is a deadline.
func (l *lineAck) next() (event, error) {
	for {
		if s, ok := l.w.Line(); ok {
			return heard(l.d.reader.Read(s)), nil
		}
		rest := string(l.w.Pending())
		if l.came {
			l.came = false
			return event{kind: pause, rest: rest}, nil
		}
		until := l.d.wake(l.w.Now())
		if l.d.state == runningOut {
			if l.w.Hurried() && l.d.halting.hurried == 0 {
				return event{kind: hurry}, nil
			}
			until = min(until, l.w.Now()+line.Slice)
		}
		var err error
		if l.came, err = l.w.Read(until); err != nil || !l.came {
			return event{kind: deadline, rest: rest}, err
		}
	}
}

// tell hands the dialogue an event that happens now, and writes what it answers.
func (l *lineAck) tell(e event) error {
	e.now = l.w.Now()
	out, err := l.d.handle(e)
	if l.d.drop {
		l.w.Drop()
	}
	if len(out) > 0 {
		if err := l.w.Write(out); err != nil {
			return err
		}
	}
	return err
}
