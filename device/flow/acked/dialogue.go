package acked

import (
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/plot/language"
)

// dialogue is the line-acknowledged flow as a state machine: it takes events and
// answers each with bytes to write, or an error. It has no port and no clock; the
// time is that of the event. lineAck gives it both.
//
// It keeps as many lines on the way as the controller's buffer is sure to hold,
// counting the bytes of those that are not answered. Where the controller gives
// status reports it is asked many times a second where it is, and held to the
// program's route.
//
//	greet:   fresh -- listening -- asking -+------------------+- resetting -- checking -+
//	                                       |   (it is busy)   |                         |
//	                                       +- waiting <--> finishing                    |
//	                                       +-(it gives no reports)----------------------+
//	                     ready -+- locating -- quieting -- waking ----------------------+
//	                            +- timing ----/   (it gives no reports)
//
//	send:    ready -- feeding <--> counting -- ready       (in long strokes: count the lines anew)
//
//	settle:  ready -- feeding -- draining -+- outlasting -- ready   (it gives no reports)
//	                                       +- confirming -- ready
//	                                            ^  |       (it stands elsewhere: look again)
//	                                            |  v
//	                                          doubting -- returning -- reconfirming -- ready
//
//	watch:   ready -- watching -+- ready
//	                            +- feeding -- draining     (the stroke is over, and was not seen)
//
//	halt:    any -+- slowing -- dropping -----+- lifting -- looking -- halted
//	              +- runningOut (no hold) ----+        (a line failed: dropping again)
//
// A refused line, an alarm, a restart, a place off the route and silence lead from
// every state of send, settle and watch to one of refused, lost, offRoute and
// silent, with an error; so do an alarm and silence from those of greet. Only halt
// leads out of these four.
type dialogue struct {
	job      flow.Job
	timeline timeline.Timeline
	language language.Language
	reader   *answers.Reader
	perByte  time.Duration

	state state
	now   time.Duration // of the event that is being handled
	out   []byte        // to write after it
	drop  bool          // what came of a line before it is to be dropped
	left  time.Duration // when all bytes written will have left

	window    window
	questions questions
	follower  follower
	worth     worth
	pace      pace
	probe     probe
	status    answers.Reply // the latest report

	queue []openLine // lines that wait to be written
	then  state      // when all of them are
	first bool       // the first of them was not looked at yet
	wait  wait       // of the state

	greetings greetings
	began     time.Duration // when the dwell had left that it is timed by
	greetsBy  time.Duration // when it should have greeted, reset
	prompt    int           // answers to it, and to an empty line before, that came at once
	early     bool          // it answers a dwell when it has queued it
	wrong     bool          // a line may have been carried out that is not the program's
	surplus   int           // answers for which there was no line
	babbled   bool          // something came that no controller says
	odd       string        // a line that came while it was greeted and means nothing
	tries     int           // of the state
	giveUp    time.Duration // when the machine may no longer be busy with something else
	idles     int           // reports of idleness in a row
	strange   int           // lines that mean nothing
	nudged    bool          // an empty line was sent to see what comes
	counted   time.Duration // when the open lines were last counted anew
	reports   int           // how many reports had come when the state began
	stroke    int           // that is watched
	halting   halting
}

// state is where the dialogue stands.
type state int

const (
	fresh     state = iota // nothing was said yet
	listening              // for what the machine says when its port is opened
	asking                 // whether it gives status reports
	waiting                // before it is asked again, being busy with something else
	finishing              // whether it is still busy
	resetting              // it was reset
	checking               // whether it is in alarm after that
	waking                 // for an answer to a line that does nothing
	quieting               // until the last of its answers has come
	locating               // where it stands
	timing                 // how soon it answers a dwell

	ready        // nothing is waited for
	feeding      // until the next lines fit in the window
	counting     // until few moves are left, in a long stroke
	draining     // until all lines are answered
	outlasting   // until all should be done
	confirming   // until it says that it has nothing left to do
	doubting     // it stands where it should not: before it is looked at again
	returning    // until the lines are answered that send it there again
	reconfirming // until it has nothing left to do after them
	watching     // until its pen was seen down

	refused  // a line was refused; the machine knows its place
	offRoute // it is not where the program leads, or not by then
	lost     // it stopped by itself, or restarted, or was held by someone
	silent   // it does not answer

	slowing    // a hold was sent
	dropping   // it was reset while it was held
	runningOut // it knows no hold: until it has answered all lines
	lifting    // the lines that lift the pen
	looking    // whether the pen is up
	halted
)

// eventKind is what happens to a dialogue.
type eventKind int

// A line came from the controller.
const (
	noise           = eventKind(answers.Noise)
	acknowledgement = eventKind(answers.Acknowledgement)
	refusal         = eventKind(answers.Refusal)
	alarm           = eventKind(answers.Alarm)
	report          = eventKind(answers.Report)
	aside           = eventKind(answers.Aside)
	greeting        = eventKind(answers.Greeting)
)

const (
	// Time passed.
	pause    = greeting + 1 + eventKind(iota) // bytes came, and all lines in them were handled
	deadline                                  // nothing came until wake
	// The sender wants something. Only these begin in states that rest.
	greet
	send
	settle
	watch
	halt
	hurry // while it is halted: whoever stopped it waits no longer
)

// event is what happens to a dialogue, at a time.
type event struct {
	kind   eventKind
	now    time.Duration
	reply  answers.Reply // of a line from the controller
	rest   string        // of pause and deadline: the part of a line that came last
	lines  []openLine    // of send; bytes and time are not filled in
	stroke int           // of watch
	until  time.Duration // of watch: when the stroke should be drawn
}

// heard is the event of a line from the controller.
func heard(r answers.Reply) event { return event{kind: eventKind(r.Kind), reply: r} }

func newDialogue(job flow.Job, t timeline.Timeline, l language.Language, r *answers.Reader, perByte time.Duration) *dialogue {
	return &dialogue{job: job, timeline: t, language: l, reader: r, perByte: perByte,
		window:   newWindow(l.Chunks(job.Text), job.Machine.Serial.Buffer, perByte),
		follower: newFollower(job, t, l.Heights(job.Program, job.Text))}
}

// onward returns the dialogue for another job with the same controller.
func (d *dialogue) onward(job flow.Job, t timeline.Timeline, now time.Duration) *dialogue {
	on := newDialogue(job, t, d.language, d.reader, d.perByte)
	on.state, on.left, on.greetings, on.status, on.worth, on.early = ready, d.left, d.greetings, d.status, d.worth, d.early
	on.greetings.expected = false
	on.probe.known = d.probe.known
	on.questions.live, on.questions.heard = d.questions.live, now
	on.follower.trusted = d.follower.trusted
	return on
}

// rests reports whether nothing is waited for: the next event is the sender's.
func (d *dialogue) rests() bool {
	switch d.state {
	case fresh, ready, refused, offRoute, lost, silent, halted:
		return true
	}
	return false
}

// wake returns until when to wait for bytes, before the event deadline.
func (d *dialogue) wake(now time.Duration) time.Duration {
	switch {
	case d.steady() && d.questions.live:
		return max(now, d.questions.asked+d.lookEvery())
	case d.state == outlasting:
		return max(now, min(d.wait.until, now+d.lookEvery()))
	case d.steady() && d.probe.known && !d.window.empty():
		return now + flow.PollAgain/2
	case d.steady():
		return now + d.lookEvery()
	}
	return d.wait.wake(now)
}

// steady reports whether the state is one in which a machine is fed and watched.
func (d *dialogue) steady() bool {
	switch d.state {
	case feeding, counting, draining, outlasting, confirming, returning, reconfirming, watching:
		return true
	}
	return false
}

// handle takes in an event. It returns what to write; the error is that of the
// machine, and then the dialogue waits for halt.
func (d *dialogue) handle(e event) ([]byte, error) {
	d.now, d.out, d.drop = e.now, nil, false
	err := d.dispatch(e)
	return d.out, err
}

func (d *dialogue) dispatch(e event) error {
	switch e.kind {
	case greet:
		d.listen()
		return nil
	case send:
		d.feed(ready, e.lines...)
		return d.advance()
	case settle:
		d.settle()
		return d.advance()
	case watch:
		d.state, d.stroke, d.wait = watching, e.stroke, wait{until: e.until}
		return d.advance()
	case halt:
		d.halt()
		return nil
	}
	switch {
	case d.steady() || d.state == doubting:
		return d.underWay(e)
	case d.state < ready:
		return d.greeted(e)
	case d.state > silent:
		d.halted(e)
	}
	return nil
}

// write puts bytes behind those to write after the event.
func (d *dialogue) write(text string) {
	d.out = append(d.out, text...)
	d.left = max(d.left, d.now) + time.Duration(len(text))*d.perByte
}

// wait is how long a state lasts by the clock.
type wait struct {
	until time.Duration
	// gap ends the wait when nothing came for so long; 0 leaves bytes out of
	// account. It counts from the first byte on, if none was heard yet, and then
	// for no longer than once.
	gap, once time.Duration
	heard     bool
}

// wake returns when the wait is over if no byte comes.
func (w wait) wake(now time.Duration) time.Duration {
	if w.gap > 0 && w.heard {
		return min(now+w.gap, w.until)
	}
	return w.until
}

// over takes in a pause or a deadline and reports whether it ends the wait.
func (w *wait) over(e event) bool {
	switch {
	case e.kind == deadline:
		return true
	case e.kind != pause || w.gap == 0:
		return false
	case !w.heard:
		w.heard, w.until = true, e.now+w.once
		return false
	}
	return e.now >= w.until
}

// enter begins a state that lasts no longer than limit.
func (d *dialogue) enter(s state, limit time.Duration) {
	d.state, d.wait = s, wait{until: d.now + limit}
}

// enterQuiet begins a state that ends when nothing came for gap, or at limit.
func (d *dialogue) enterQuiet(s state, gap, limit time.Duration) {
	d.state, d.wait = s, wait{until: d.now + limit, gap: gap, heard: true}
}

// enterHearing begins a state that waits for a first byte until limit, and then
// until nothing came for gap, but no longer than limit again.
func (d *dialogue) enterHearing(s state, gap, limit time.Duration) {
	d.state, d.wait = s, wait{until: d.now + limit, gap: gap, once: limit}
}

// query asks for the status once and begins the state that waits for it.
func (d *dialogue) query(s state) {
	d.write(d.reader.Manner.Ask)
	d.enter(s, flow.ReplyTime/3)
}

// fail ends in a state that only halt leads out of.
func (d *dialogue) fail(s state, err error) error {
	d.state = s
	d.wrong = !d.greetings.lost
	return err
}

// where returns the place in the last report, in true lengths.
func (d *dialogue) where() (paths.Point, bool) {
	k := d.job.Machine.Calib.Scale
	return paths.Point{X: d.status.Place.X * k[0], Y: d.status.Place.Y * k[1]}, d.status.HasPlace && !d.worth.nothing
}

// sighting returns the last report as the follower looks at it.
func (d *dialogue) sighting() sighting {
	at, known := d.where()
	return sighting{Reply: d.status, at: at, known: known, asked: d.questions.of, now: d.now, written: d.window.written}
}
