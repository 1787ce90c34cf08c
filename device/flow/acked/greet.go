package acked

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/paths/fault"
	"weftplot/plot/language"
)

// bootTime is from opening the port to the first word of a controller which that
// restarts.
const bootTime = 2500 * time.Millisecond

// leftover is how long a machine may go on with what an earlier sender left in
// it.
const leftover = 10 * time.Minute

// mostTries is how often the status is asked for before a controller is taken to
// give none, and how many lines it is sent to see that it answers.
const mostTries = 3

// listen waits for what a controller says that restarts when its port is opened.
// Then it is found out whether it gives status reports, it ends what it is at, is
// cleared of half a line that an earlier sender may have left, and is seen to
// answer an empty line.
func (d *dialogue) listen() { d.enterHearing(listening, 200*time.Millisecond, bootTime) }

// greeted takes in an event while the machine is greeted.
func (d *dialogue) greeted(e event) error {
	if err := d.note(e); err != nil {
		return err
	}
	over := d.wait.over(e)
	switch d.state {
	case asking:
		return d.asked(e)
	case finishing:
		return d.finished(e)
	case checking:
		return d.checked(e)
	case waking:
		return d.woken(e)
	case timing:
		d.timed(e)
		return nil
	}
	if d.state == resetting && over && d.greetsLater() {
		return nil
	}
	if over || d.state == locating && e.kind == report {
		d.goOn(e.rest)
	}
	return nil
}

// note keeps what is heard of the machine while it is greeted.
func (d *dialogue) note(e event) error {
	g := &d.greetings
	switch e.kind {
	case noise:
		d.babbled = d.babbled || answers.IsBabble(e.reply.Text)
		if e.reply.Text != "" {
			d.odd = e.reply.Text
		}
	case report:
		d.status, g.answered = e.reply, true
	case acknowledgement, refusal:
		g.answered = g.answered || d.state != listening
	case greeting:
		d.odd = e.reply.Text
		switch {
		case !g.answered:
			g.hear(e.reply.Text, d.now)
			g.atOpening = true
		case g.restart(e.reply, d.now, d.reader.Manner.Greeting != ""):
			return d.restart(e.reply.Text)
		}
	}
	return nil
}

// greetings are what a controller says when it starts.
type greetings struct {
	text      string        // the last line of it
	at        time.Duration // when that came
	expected  bool          // it was reset, and has said nothing of it yet
	answered  bool          // it has answered something since its port was opened
	atOpening bool          // it started then
	lost      bool          // it started again since, unasked
}

// greetingLasts is how long the lines of one greeting may be apart.
const greetingLasts = 500 * time.Millisecond

// hear takes in a line of a greeting that is no surprise.
func (g *greetings) hear(text string, now time.Duration) {
	g.text, g.at, g.expected = text, now, false
}

// restart takes in a line that is no answer and reports whether it says that the
// controller has restarted, unasked. Of one whose greeting is known, from its
// profile or by ear, no other line does.
func (g *greetings) restart(r answers.Reply, now time.Duration, named bool) bool {
	switch {
	case g.text != "" && strings.Contains(r.Text, g.text):
	case r.Kind != answers.Greeting, g.text != "" && !named && !g.expected:
		return false
	}
	known := g.text != ""
	if g.expected || known && now-g.at < greetingLasts {
		g.hear(r.Text, now)
		return false
	}
	return true
}

// restart is the error of a controller that has restarted. Without a text its place
// has given it away.
func (d *dialogue) restart(text string) error {
	d.greetings.lost = true
	d.window.clear()
	d.pace = pace{}
	what := "the machine restarted, saying " + quote(text)
	if text == "" {
		what = "the machine is all at once at its own 0,0 and has forgotten lines that it was sent: it restarted"
	}
	return d.fail(lost, &fault.Error{Kind: flow.Restarted, What: what + "; it no longer knows where it is",
		Do: "look at its power supply and at motors that stall"})
}

// overhear takes in a line that comes while nothing is sent.
func (d *dialogue) overhear(e event) error {
	d.now = e.now
	switch {
	case e.kind == alarm:
		return d.stoppedByItself(e.reply.Text)
	case d.greetings.restart(e.reply, e.now, d.reader.Manner.Greeting != ""):
		return d.restart(e.reply.Text)
	}
	return nil
}

// mostQuoted is how much of what a machine said is repeated, bytes.
const mostQuoted = 60

// quote quotes what a machine said.
func quote(text string) string {
	if len(text) > mostQuoted {
		return strconv.Quote(text[:mostQuoted]) + "..."
	}
	return strconv.Quote(text)
}

// goOn leaves a state of greeting that waits for time to pass; rest is the part
// of a line that came last.
func (d *dialogue) goOn(rest string) {
	d.drop = true
	switch d.state {
	case listening:
		d.babbled = d.babbled || answers.IsBabble(rest)
		d.askFirst()
	case waiting:
		d.query(finishing)
	case resetting:
		d.query(checking)
	case quieting:
		d.locate()
	case locating:
		d.begin()
	}
}

// askFirst asks for the status, if the controller's manner has a way to.
func (d *dialogue) askFirst() {
	if d.reader.Manner.Ask == "" {
		d.wakeUp()
		return
	}
	d.tries = 0
	d.query(asking)
}

func (d *dialogue) asked(e event) error {
	switch {
	case e.kind == report:
		d.questions.live = true
		d.giveUp, d.tries = d.now+leftover, 0
		return d.clear()
	case e.kind == deadline:
		if d.tries++; d.tries < mostTries {
			d.query(asking)
		} else {
			d.wakeUp()
		}
	}
	return nil
}

// finished deals with a machine that was busy when it was found.
func (d *dialogue) finished(e event) error {
	if e.kind != report && e.kind != deadline {
		return nil
	}
	if e.kind == deadline {
		d.tries++
	}
	if d.tries > 10 || d.now > d.giveUp {
		return d.fail(silent, &fault.Error{Kind: flow.Silent, What: "the machine is busy with something else and does not come to an end", Do: "stop it at its panel, then send again"})
	}
	return d.clear()
}

// clear resets a machine that stands, so that it holds nothing and its modes are
// its own.
func (d *dialogue) clear() error {
	switch {
	case d.status.Doing == answers.Moving:
		d.enterQuiet(waiting, flow.PollEvery, flow.PollEvery)
	case d.status.Doing == answers.InAlarm:
		return d.inAlarm()
	case d.reader.Manner.Reset == "":
		d.wakeUp()
	default:
		d.reset(resetting)
	}
	return nil
}

func (d *dialogue) inAlarm() error {
	return d.fail(lost, &fault.Error{Kind: flow.Alarm, What: "the machine is in alarm and will not move",
		Do: "clear its alarm, as its manual says"})
}

// reset empties the controller of all that it holds. The greeting is its sign
// that it is ready; not every controller has one.
func (d *dialogue) reset(s state) {
	d.window.clear()
	d.pace = pace{}
	d.drop, d.greetings.expected = true, true
	d.write(d.reader.Manner.Reset)
	d.greetsBy = d.now + resetTime
	d.enterHearing(s, resetGap, time.Second)
}

// How long after a reset the last byte from before may come, and the first after
// it of a controller that is known to greet.
const (
	resetGap  = 20 * time.Millisecond
	resetTime = 300 * time.Millisecond
)

// greetsLater goes on waiting for the greeting of a controller that was reset, where
// it is known to have one: until then it takes no lines.
func (d *dialogue) greetsLater() bool {
	if !d.greetings.expected || d.greetings.text == "" || d.now >= d.greetsBy {
		return false
	}
	d.enterHearing(d.state, resetGap, d.greetsBy-d.now)
	return true
}

func (d *dialogue) checked(e event) error {
	switch {
	case e.kind == report && d.status.Doing == answers.InAlarm:
		return d.inAlarm()
	case e.kind == report || e.kind == deadline:
		d.wakeUp()
	}
	return nil
}

// wakeUp sends an empty line, which also ends half a line that the controller may
// hold. Some pass over empty lines and answer only what does something, so the
// next sets the mode that every program sets first.
func (d *dialogue) wakeUp() {
	d.tries = 0
	d.write("\n")
	d.enter(waking, flow.ReplyTime)
}

func (d *dialogue) woken(e event) error {
	switch {
	case e.kind == acknowledgement || e.kind == refusal:
		d.enterQuiet(quieting, flow.PollAgain, flow.ReplyTime)
	case e.kind != deadline:
	case d.tries+1 < mostTries:
		d.tries++
		ready := d.language.Ready(d.job.Machine)
		c := d.language.Chunks(ready)[0]
		d.write("\n" + chunkText(ready, c) + "\n")
		d.enter(waking, flow.ReplyTime)
	case d.babbled:
		return d.fail(silent, flow.WrongBaud(d.job))
	case d.odd != "":
		return d.fail(silent, &fault.Error{Kind: flow.Garbled, What: fmt.Sprintf("the machine speaks, but not in the manner of its profile: it said %s", quote(d.odd)),
			Do: "set serial.flow and serial.manner of its profile to what its manual says"})
	default:
		return d.fail(silent, &fault.Error{Kind: flow.Silent, What: "the machine does not answer", Do: flow.LookAtSettings})
	}
	return nil
}

// locate asks where the machine stands, if it tells. Of one that does not it is found
// out by the clock whether it answers an empty line, and whether its answer to a
// dwell says that all is done.
func (d *dialogue) locate() {
	if d.questions.live {
		d.query(locating)
		return
	}
	d.tries, d.early = 0, true
	d.timeDwell()
}

func (d *dialogue) timeDwell() {
	d.write("\n" + language.Dwell(d.job.Machine))
	d.began, d.prompt = d.left, 0
	d.enter(timing, flow.ReplyTime)
}

// timed takes in the answers to an empty line and a dwell of a machine at rest. A
// refusal says nothing, and so does an answer to the dwell that comes too soon, or
// not at all. Answers may be garbled, so it takes a few trials to believe in less
// than both.
func (d *dialogue) timed(e event) {
	late := d.now-d.began >= language.DwellTime/2
	switch {
	case e.kind == acknowledgement && d.prompt == 0 && !late:
		d.prompt++ // that of the empty line, if another comes
		return
	case e.kind == acknowledgement:
		d.probe.known = d.probe.known || d.prompt > 0
		d.early = d.early && !late
	case e.kind != refusal && e.kind != deadline:
		return
	}
	if d.tries++; d.tries < mostTries && (d.early || !d.probe.known) {
		d.timeDwell()
		return
	}
	d.begin()
}

// begin notes that the machine is greeted.
func (d *dialogue) begin() {
	d.questions.heard, d.questions.answered = d.now, d.now
	d.greetings.expected = false
	d.state = ready
}

// chunkText returns the text of a chunk without its end.
func chunkText(text []byte, c language.Chunk) string {
	end := c.End
	for end > c.Start && text[end-1] <= ' ' {
		end--
	}
	return string(text[c.Start:end])
}
