package acked

import (
	"strings"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/paths"
	"weftplot/plot/language"
)

// halting is what is kept while a machine is brought to a stop.
type halting struct {
	slow        time.Duration // when a pen that goes up or down should have slowed down
	until, last time.Duration // when it should stand, and must
	still       int           // reports in a row that say that nothing moves
	before      paths.Point   // in the last of them
	stood       time.Duration // when it did
	hurried     time.Duration // when whoever stopped it began to wait no longer; 0 not yet

	lines   []string // that lift the pen
	next    int      // of them
	limit   time.Duration
	again   int  // how often they were sent before
	heard   bool // the machine has said something since
	missing bool // one of them was not acknowledged, or the pen is not up
	unseen  bool // it was never seen to stand after them
	unsure  bool // their answers may be those of other lines
	left    flow.Left
}

// halt holds the motion, empties the controller by a reset once nothing moves,
// and lifts the pen. A hold slows down first, so that the machine keeps its place
// through the reset. A controller that knows no such bytes is only fed no more:
// it runs through the little that it holds, and lifts then.
func (d *dialogue) halt() {
	d.status.HasPlace = false
	d.halting = halting{}
	m := d.reader.Manner
	if !d.questions.live || m.Hold == "" || m.Reset == "" {
		if d.state == silent {
			d.giveUpLines() // what was waited for in vain is not waited for again
		}
		d.runOut()
		return
	}
	d.write(m.Hold)
	s := d.job.Machine.Speed
	slows := flow.Seconds(2 * float64(max(s.Draw, s.Travel)) / float64(s.Accel))
	d.halting.slow = d.now + slows/4 // it is slower than the machine by far
	d.halting.until = d.now + slows + flow.ReplyTime
	d.halting.last = d.halting.until + flow.MotionSlip
	if d.state == silent {
		d.halting.last = d.halting.until
	}
	d.lookSlowing()
}

// halted takes in an event while the machine is brought to a stop.
func (d *dialogue) halted(e event) {
	if e.kind == report {
		d.status = e.reply
	}
	d.halting.heard = d.halting.heard || e.kind < pause
	if d.greetings.restart(e.reply, d.now, d.reader.Manner.Greeting != "") {
		d.greetings.lost = true
	}
	over := d.wait.over(e)
	switch d.state {
	case slowing:
		if over || e.kind == report {
			d.slowed(e)
		}
	case dropping:
		if over && !d.greetsLater() {
			d.drop = true
			d.lift()
		}
	case runningOut:
		d.ranOut(e)
	case lifting:
		d.lifted(e)
	case looking:
		if over || e.kind == report {
			d.looked(e)
		}
	}
}

// lookSlowing asks for the status of a machine that slows down. A report may get
// lost, and the pen is on the cloth.
func (d *dialogue) lookSlowing() {
	d.query(slowing)
	d.enter(slowing, flow.PollEvery)
}

// slowed asks for the status until two reports in a row say that nothing moves,
// or the time is over. A machine that says that it moves is given more: broken off
// by a reset it would lose its place.
func (d *dialogue) slowed(e event) {
	h := &d.halting
	switch r := e.reply; {
	case e.kind != report:
	case r.Doing == answers.Moving && !d.dwells(r) || h.still > 0 && r.Place != h.before:
		h.still = 0
		h.until = min(h.last, max(h.until, d.now+flow.ReplyTime))
	default:
		h.still, h.before = h.still+1, r.Place
	}
	// One that was not heard at all may be starting: it takes nothing meanwhile.
	if h.still < 2 && (d.now < h.until || !h.heard && d.now < h.last) {
		d.lookSlowing()
		return
	}
	h.stood = d.now
	d.reset(dropping)
}

// dwells reports whether a machine that says that it moves, and that was told to
// hold, has stood for longer than any pen takes to go up or down: it is in a dwell,
// which a hold does not end. A reset does, and costs it nothing.
func (d *dialogue) dwells(r answers.Reply) bool {
	const long = 700 * time.Millisecond
	at, known := d.where()
	f := &d.follower
	return r.HasPlace && known && f.following && at.Dist(f.still.at) <= hair && d.now-f.still.heard > long && d.now > d.halting.slow
}

// hurryTime is how long a machine may still take to answer the next of the lines
// that it holds, once whoever stopped it waits no longer. After that the lift is
// sent all the same: a machine that answers nothing says nothing of its room
// either.
const hurryTime = 2 * time.Second

// runOut waits until the controller has answered all that it holds, whatever the
// answers are; and, where an answer does not say that the work is done, until it
// should be.
func (d *dialogue) runOut() {
	until := d.pace.over()
	d.halting.last = d.now + d.longest()
	if h := &d.halting; h.hurried > 0 {
		h.last = min(h.last, h.hurried+hurryTime)
		until = min(until, h.last)
	}
	switch {
	case !d.window.empty():
		d.enterRunningOut()
	case d.early && d.now < until:
		d.enter(runningOut, until-d.now)
	default:
		d.pace = pace{}
		d.lift()
	}
}

// giveUpLines waits no more for the answers to lines. One that comes all the same
// would be taken for that of a line that lifts the pen.
func (d *dialogue) giveUpLines() {
	d.halting.unsure = d.halting.unsure || !d.window.empty()
	d.window.clear()
}

// enterRunningOut waits for the next answer, looking meanwhile whether one is to be
// waited for.
func (d *dialogue) enterRunningOut() {
	wait := d.halting.last - d.now
	if d.probe.known {
		wait = min(wait, flow.PollAgain/2)
	}
	d.enter(runningOut, wait)
}

func (d *dialogue) ranOut(e event) {
	switch {
	case e.kind == acknowledgement, e.kind == refusal:
		d.pop()
	case e.kind == hurry:
		d.halting.hurried = max(d.now, 1)
	case e.kind == deadline && !d.window.empty() && d.now < d.halting.last:
		if d.probeForRest() == nil {
			d.enterRunningOut()
			return
		}
	case e.kind == deadline:
		d.giveUpLines()
	default:
		return
	}
	d.runOut()
}

// atRest is how long a machine that stands may take to answer a line that waits
// for nothing.
const atRest = 200 * time.Millisecond

// lift sends the lines that lift the pen of a machine that stands. To one that
// does not answer they are sent all the same.
func (d *dialogue) lift() {
	h := &d.halting
	text := d.language.Ready(d.job.Machine)
	h.lines, h.next, h.missing, h.limit = nil, 0, false, atRest<<(2*h.again)
	for _, c := range d.language.Chunks(text) {
		h.lines = append(h.lines, chunkText(text, c))
	}
	h.lines = append(h.lines, d.waitLine())
	if !d.questions.live {
		// An answer too many may count for the first, before the pen is up.
		h.lines = append(h.lines, d.waitLine())
	}
	d.liftNext()
}

func (d *dialogue) liftNext() {
	h := &d.halting
	dwell, _, _ := strings.Cut(d.waitLine(), " ")
	if strings.HasPrefix(h.lines[h.next], dwell) {
		h.limit = flow.ReplyTime + flow.Seconds(2*float64(d.job.Machine.Lift.UpTime))
	}
	d.write(h.lines[h.next] + "\n")
	d.enter(lifting, h.limit)
}

func (d *dialogue) lifted(e event) {
	h := &d.halting
	switch e.kind {
	case acknowledgement:
	case refusal, alarm, deadline:
		h.missing, h.limit = true, flow.PollAgain
	default:
		return
	}
	switch h.next++; {
	case h.next < len(h.lines):
		d.liftNext()
	case d.questions.live && !h.missing:
		h.until = d.now + flow.ReplyTime + flow.Seconds(2*float64(d.job.Machine.Lift.UpTime))
		d.query(looking)
	default:
		d.stopped()
	}
}

// looked compares the height of the pen with what it should be.
func (d *dialogue) looked(e event) {
	up, moves := language.LastZ(d.language.Ready(d.job.Machine))
	r := e.reply
	rests := e.kind == report && r.Doing != answers.Moving && r.Doing != answers.Busy
	if !rests && d.now < d.halting.until {
		d.query(looking) // it may have answered when the lines were queued
		return
	}
	d.halting.unseen = !rests
	if d.follower.heeded && moves && r.HasZ && !(language.Height{Z: up}).Is(r.Z) {
		d.halting.missing = true
	}
	d.stopped()
}

// mostLifts is how often the lines that lift the pen are sent to a machine that
// speaks.
const mostLifts = 3

// stopped ends the halt, or lifts the pen once more: a line may be garbled here
// as anywhere, or refused, or come before the machine was ready after its reset.
func (d *dialogue) stopped() {
	h := &d.halting
	if h.missing && !h.unsure && (h.again == 0 || h.heard && h.again+1 < mostLifts) {
		h.again++
		if d.questions.live && h.heard && d.reader.Manner.Reset != "" {
			d.reset(dropping)
			return
		}
		d.lift()
		return
	}
	d.state, h.left = halted, flow.PenLifted
	switch {
	case h.missing:
		h.left = flow.PenUnknown
	case d.early && !d.questions.live, h.unseen, h.unsure && !d.questions.live:
		h.left = flow.PenSent
	}
}
