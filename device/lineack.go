package device

import (
	"fmt"
	"strings"
	"time"

	"weftplot/paths"
)

// lineAck feeds a controller that answers every line with one `ok` or
// `error:N`. It keeps as many lines on the way as the controller's receive
// buffer is sure to hold, counting the bytes of those not answered yet.
//
// Four single bytes are acted on by most such controllers at once, are never
// answered by a line's `ok`, and use no buffer: `?` status, `!` hold, `~`
// resume, 0x18 reset. Whether this one knows them is found out at the start.
type lineAck struct {
	w      *wire
	job    Job
	course course

	window int        // bytes that may be on the way
	open   []sentLine // written and not answered, oldest first
	held   int        // their bytes
	end    int        // offset of the text answered so far
	last   int        // offset of the text written so far
	acks   []int      // offsets at the latest answers, for how long to wait

	live     bool   // it answers status queries
	banner   string // what it says when it starts
	rebooted bool   // it said so when the port was opened
	trusted  bool   // it was found once where it should be
	nudged   bool   // an empty line was sent to see what comes
	status   reply  // the latest report
	reports  int    // how many came
	heard    time.Duration
	answered time.Duration
	asked    time.Duration // when the status was last asked for
	// inVain is when it was first asked for since anything was heard; before
	// heard when it was not.
	inVain  time.Duration
	gone    time.Duration // when the last line had left
	idles   int
	noise   int
	babbled bool // something came that no controller says
}

// sentLine is a line on its way.
type sentLine struct {
	bytes int
	end   int // offset of the text after it; 0 for a line of our own
	line  int
	text  string
}

func newLineAck(w *wire, job Job, c course) *lineAck {
	return &lineAck{w: w, job: job, course: c, window: windowOf(job)}
}

// windowOf returns how many bytes may be on the way: the buffer, less one line.
// An acknowledgement that comes twice makes one line count as gone that is still
// there, and nothing tells until the machine next stands still.
func windowOf(job Job) int {
	longest := 0
	for _, p := range cutLines(job.Text) {
		longest = max(longest, p.end-p.start)
	}
	size := job.Machine.Serial.Buffer
	return size - min(longest, size/3)
}

func (l *lineAck) written() int { return l.last }

func (l *lineAck) taken() int { return l.end }

// done allows for a planner as deep as any.
func (l *lineAck) done() int {
	if len(l.acks) < deepest {
		return 0
	}
	return l.acks[0]
}

// raise leaves it to the program: its lines that lift the pen may set modes.
func (l *lineAck) raise() (bool, error) { return false, nil }

func (l *lineAck) restarted() bool { return l.rebooted }

func (l *lineAck) proves() bool { return true }

func (l *lineAck) onward(job Job, c course) flow {
	on := newLineAck(l.w, job, c)
	on.live, on.banner, on.status, on.heard = l.live, l.banner, l.status, l.w.now()
	return on
}

// where returns the position in the last status report, in true lengths.
func (l *lineAck) where() (paths.Point, bool) {
	k := l.job.Machine.Calib.Scale
	return paths.Point{X: l.status.at.X * k[0], Y: l.status.at.Y * k[1]}, l.status.hasAt
}

// The times below are for what a controller does without moving.
const (
	bootTime   = 2500 * time.Millisecond // from opening the port to its first word, if that restarts it
	replyTime  = 1500 * time.Millisecond // to answer when it has nothing to do
	pollEvery  = 150 * time.Millisecond  // between status queries when nothing else comes
	pollAgain  = 50 * time.Millisecond   // before a report of idleness is believed
	deadAfter  = 5 * time.Second         // without a byte although asked for its status
	motionSlip = 5 * time.Second         // on top of twice what a motion should take
)

// send waits until the line fits in the controller's buffer besides those that
// it has not answered.
func (l *lineAck) send(p piece) error {
	text := strings.TrimRight(string(l.job.Text[p.start:p.end]), " \t\r\n")
	return l.put(text, p.end, p.line)
}

// put sends a line; end is 0 for one of our own.
func (l *lineAck) put(text string, end, line int) error {
	n := len(text) + 1
	if err := l.await(func() bool { return l.held+n <= l.window || len(l.open) == 0 }); err != nil {
		return err
	}
	if len(l.open) == 0 {
		l.answered = l.w.now() // the wait for its answer begins now
	}
	l.idles = 0
	l.open = append(l.open, sentLine{n, end, line, text})
	l.held += n
	l.last = max(l.last, end)
	err := l.w.write([]byte(text + "\n"))
	l.gone = l.w.left
	return err
}

// await reads answers until done.
func (l *lineAck) await(done func() bool) error {
	for !done() {
		came, err := l.w.read(l.w.now() + l.nextLook())
		if err != nil {
			return err
		}
		if came {
			err = l.listen()
		} else {
			err = l.watch()
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// nextLook returns how long to wait for bytes before looking at the clock.
func (l *lineAck) nextLook() time.Duration {
	if l.idles > 0 {
		return pollAgain
	}
	return pollEvery
}

// listen takes in every whole line that has come.
func (l *lineAck) listen() error {
	for {
		s, ok := l.w.line()
		if !ok {
			return nil
		}
		if err := l.take(parseReply(s)); err != nil {
			return err
		}
	}
}

func (l *lineAck) take(r reply) error {
	l.heard = l.w.now()
	switch r.kind {
	case replyOK:
		l.pop()
	case replyError:
		bad := sentLine{}
		if len(l.open) > 0 {
			bad = l.open[0]
		}
		l.pop()
		return l.rejected(bad, r.text)
	case replyAlarm:
		return &Error{Kind: Alarm, What: fmt.Sprintf("the machine stopped by itself: %q", r.text),
			Do: "find out why from its manual; it may have lost its place, so bring it home before it draws again"}
	case replyStatus:
		return l.report(r)
	case replyNoise:
		return l.strange(r)
	}
	return nil
}

// pop counts the oldest line as answered. An answer too many is dropped: an
// acknowledgement that came twice.
func (l *lineAck) pop() {
	l.answered, l.idles = l.w.now(), 0
	if len(l.open) == 0 {
		return
	}
	first := l.open[0]
	l.open = l.open[1:]
	l.nudged = l.nudged && len(l.open) > 0
	l.held -= first.bytes
	if first.end > 0 {
		l.end = first.end
		if l.acks = append(l.acks, first.end); len(l.acks) > deepest {
			l.acks = l.acks[1:]
		}
	}
}

// deepest is how many answered lines a controller may still be busy with: more
// than the planners of small controllers hold.
const deepest = 64

func (l *lineAck) rejected(bad sentLine, answer string) error {
	e := &Error{Kind: Rejected, What: fmt.Sprintf("the machine refused %q with %q", bad.text, answer),
		Do: "its manual says what the number means; a line that is right may have been garbled on the way: try a shorter cable"}
	if bad.line > 0 {
		e.Where = lineName(bad.line)
	}
	return e
}

// strange judges a line that is no answer. The banner in mid-job says that the
// controller has restarted, and so has lost the lines it held and its place;
// anything else is noise until there is too much of it, but is looked into.
func (l *lineAck) strange(r reply) error {
	if r.text == "" {
		return nil
	}
	if l.banner != "" && strings.Contains(r.text, l.banner) {
		return &Error{Kind: Restarted, What: fmt.Sprintf("the machine restarted in mid-job, saying %q: it no longer knows where it is", r.text),
			Do: "look at its power supply and at motors that stall; bring it home before it draws again"}
	}
	if l.noise++; l.noise > 100 {
		return &Error{Kind: Garbled, What: fmt.Sprintf("too much of what comes from the machine makes no sense, as %q", r.text),
			Do: "look at the cable and keep it away from motors; compare serial.baud with the machine's manual"}
	}
	return nil
}

// watch looks at the clock when nothing has come.
func (l *lineAck) watch() error {
	now := l.w.now()
	if l.live {
		// Silence counts from a question that went unanswered: this computer may
		// itself have slept.
		if l.inVain > l.heard && now-l.inVain > deadAfter {
			return l.silence(now - l.inVain)
		}
		if now-l.asked >= l.nextLook() {
			l.asked = now
			if l.inVain <= l.heard {
				l.inVain = now
			}
			return l.w.write([]byte{'?'})
		}
		return nil
	}
	if now-l.answered > l.patience() {
		return l.silence(now - l.answered)
	}
	return nil
}

// patience is how long the next answer may take: twice the predicted time of
// all the motion that can lie between two answers, and some.
func (l *lineAck) patience() time.Duration {
	from := 0
	if len(l.acks) > 0 {
		from = l.acks[0]
	}
	return motionSlip + seconds(2*(l.course.at(l.last).seconds-l.course.at(from).seconds))
}

func (l *lineAck) silence(d time.Duration) error {
	return &Error{Kind: Silent, What: fmt.Sprintf("the machine has said nothing for %.0f seconds", d.Seconds()),
		Do: "look at plug, power and the machine's stop switch"}
}

// report takes in a status report. One that says twice that nothing is left to
// do, while lines are not answered, means that their answers were lost, or they
// themselves: the position tells which.
func (l *lineAck) report(r reply) error {
	l.status = r
	l.reports++
	switch {
	case r.state == "alarm":
		return l.take(reply{kind: replyAlarm, text: r.text})
	case r.state == "hold":
		return &Error{Kind: Stopped, What: "the machine was put on hold, not by this program", Do: "send again with --resume"}
	case r.state != "idle" || len(l.open) == 0 || l.asked < l.gone+pollAgain/2:
		l.idles = 0
		if len(l.open) > 0 && l.w.now()-l.answered > 2*l.patience() {
			return l.silence(l.w.now() - l.answered)
		}
		return nil
	}
	if l.idles++; l.idles < 2 {
		return nil
	}
	return l.unanswered()
}

// unanswered deals with lines that will never be answered.
func (l *lineAck) unanswered() error {
	if !l.nudged {
		// Half a line may be waiting for an end that was lost on the way.
		l.nudged, l.idles = true, 0
		l.open = append(l.open, sentLine{bytes: 1})
		l.held++
		err := l.w.write([]byte{'\n'})
		l.gone = l.w.left
		return err
	}
	l.nudged = false
	if err := l.astray(); err != nil {
		return err
	}
	for len(l.open) > 0 {
		l.pop()
	}
	return nil
}

// astray returns an error when the machine, with nothing left to do, does not
// stand where all that was written leads.
func (l *lineAck) astray() error {
	want := l.course.at(l.last).at
	at, known := l.where()
	const slack = 0.05 // mm: reports are rounded, and to steps of the motors
	if !known || at.Dist(want) <= slack {
		return nil
	}
	return &Error{Kind: Garbled, What: fmt.Sprintf("the machine stands at %.2f, %.2f and not at %.2f, %.2f: it lost lines, or has restarted",
		at.X, at.Y, want.X, want.Y),
		Do: "look at cable and power; bring it home before it draws again"}
}

// settle sends a dwell of no length, whose answer comes when the motion has
// ended, and has it confirmed by a status report where there are such.
func (l *lineAck) settle() error {
	if err := l.put("G4 P0", 0, 0); err != nil {
		return err
	}
	if err := l.await(func() bool { return len(l.open) == 0 }); err != nil {
		return err
	}
	if !l.live {
		return nil
	}
	for range 3 {
		if err := l.seeIdle(); err != nil {
			return err
		}
		off := l.astray()
		l.trusted = l.trusted || off == nil
		if off == nil || !l.trusted {
			return nil
		}
		if err := l.w.quiet(pollAgain, l.w.now()+pollAgain); err != nil {
			return err
		}
	}
	return l.astray()
}

// seeIdle asks for the status until the machine has nothing left to do.
func (l *lineAck) seeIdle() error {
	seen := l.reports
	l.asked = l.w.now()
	if err := l.w.write([]byte{'?'}); err != nil {
		return err
	}
	deadline := l.w.now() + l.patience()
	err := l.await(func() bool {
		return l.reports > seen && l.status.state == "idle" || l.w.now() > deadline
	})
	if err == nil && l.w.now() > deadline {
		return l.silence(l.patience())
	}
	return err
}
