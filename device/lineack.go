package device

import (
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

	window window
	open   []sentLine // written and not answered, oldest first
	held   int        // their bytes
	end    int        // offset of the text answered so far
	last   int        // offset of the text written so far
	acks   []int      // offsets at the latest answers, for how long to wait

	way     way
	heights heights
	// following tells that the machine was found where it should be in this job,
	// and heeded that its pen was: from then on it is held to the program.
	following, heeded bool
	doubts            int         // reports in a row that do not fit
	seen              paths.Point // where it was last found as it should be
	seenAt            time.Duration
	stray             *straying     // what is known of one that was found off its way
	stood             time.Duration // when it was brought to a stop
	counted           time.Duration // when its open lines were last counted anew
	rests             paths.Point   // where it was when it last moved, but for a hair
	restsAt           time.Duration // when it was asked for that
	restsSeen         time.Duration // and when it said so
	downIn            int           // the last stroke that the pen was seen down in

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
	// pending are when it was asked for without an answer yet, oldest first, and
	// of is when the latest report was asked for, or before.
	pending []time.Duration
	of      time.Duration
	// inVain is when it was first asked for since anything was heard; before
	// heard when it was not.
	inVain  time.Duration
	gone    time.Duration // when the last line had left
	idles   int
	noise   int
	babbled bool // something came that no controller says
	told    told
}

// sentLine is a line on its way.
type sentLine struct {
	bytes int
	end   int // offset of the text after it; 0 for a line of our own
	line  int
	text  string
	gone  time.Duration // when it had left
}

func newLineAck(w *wire, job Job, c course) *lineAck {
	l := &lineAck{w: w, job: job, course: c, heights: heightsOf(job), way: way{blocks: job.Program.Blocks, course: c}}
	l.window = newWindow(job, w.perByte)
	return l
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
	on.live, on.banner, on.status, on.heard, on.trusted = l.live, l.banner, l.status, l.w.now(), l.trusted
	on.told = l.told
	return on
}

// where returns the position in the last status report, in true lengths.
func (l *lineAck) where() (paths.Point, bool) {
	k := l.job.Machine.Calib.Scale
	return paths.Point{X: l.status.at.X * k[0], Y: l.status.at.Y * k[1]}, l.status.hasAt && !l.told.nothing
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
	if l.liftsUnseen(text) {
		if err := l.put(text, 0, p.line); err != nil {
			return err
		}
	}
	return l.put(text, p.end, p.line)
}

// liftsUnseen reports whether a line lifts a pen whose height is not told. Such a
// line is sent twice: garbled once, the pen would be dragged to the next stroke.
func (l *lineAck) liftsUnseen(text string) bool {
	up := l.job.Machine.Lift.Up
	return len(l.heights) == 0 && len(up) > 0 && text == up[0] && strings.HasPrefix(text, "M")
}

// put sends a line; end is 0 for one of our own.
func (l *lineAck) put(text string, end, line int) error {
	n := len(text) + 1
	if err := l.recount(); err != nil {
		return err
	}
	if err := l.await(func() bool { return l.held+n <= l.window.bytes || len(l.open) == 0 }); err != nil {
		return err
	}
	if len(l.open) == 0 {
		l.answered = l.w.now() // the wait for its answer begins now
	}
	l.idles = 0
	err := l.w.write([]byte(text + "\n"))
	l.gone = l.w.left
	l.open = append(l.open, sentLine{n, end, line, text, l.gone})
	l.held += n
	l.last = max(l.last, end)
	return err
}

// await reads answers until done.
func (l *lineAck) await(done func() bool) error {
	for !done() {
		came, err := l.w.read(l.nextLook())
		if err == nil && came {
			err = l.listen()
		}
		if err == nil {
			err = l.watch()
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// nextLook returns when to look at the clock again if nothing comes.
func (l *lineAck) nextLook() time.Duration {
	if l.live {
		return max(l.w.now(), l.asked+l.lookEvery())
	}
	return l.w.now() + l.lookEvery()
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
		if l.told.nothing {
			return nil
		}
		off := l.astray()
		if off == nil {
			l.confirm()
		}
		if off == nil || !l.trusted {
			return nil
		}
		if err := l.w.quiet(pollAgain, l.w.now()+pollAgain); err != nil {
			return err
		}
	}
	return l.unmoved(l.astray())
}

// seeIdle asks for the status until the machine has nothing left to do.
func (l *lineAck) seeIdle() error {
	seen := l.reports
	if err := l.ask(); err != nil {
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
