package flow

import (
	"time"

	"weftplot/paths/fault"
	"weftplot/plot/language"
)

// The times below are for what a controller does without moving.
const (
	bootTime   = 2500 * time.Millisecond // from opening the port to its first word, if that restarts it
	replyTime  = 1500 * time.Millisecond // to answer when it has nothing to do
	motionSlip = 5 * time.Second         // on top of twice what a motion should take
)

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
	d.note(e)
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
	}
	if over || d.state == locating && e.kind == report {
		d.goOn(e.rest)
	}
	return nil
}

// note keeps what is heard of the machine while it is greeted or halted.
func (d *dialogue) note(e event) {
	switch e.kind {
	case noise:
		d.babbled = d.babbled || isBabble(e.reply.text)
	case report:
		d.status = e.reply
	case greeting:
		d.hearGreeting(e.reply)
	}
}

// goOn leaves a state of greeting that waits for time to pass; rest is the part
// of a line that came last.
func (d *dialogue) goOn(rest string) {
	d.drop = true
	switch d.state {
	case listening:
		d.babbled = d.babbled || isBabble(rest)
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

// hearGreeting notes what the controller says when it starts, when that is
// expected.
func (d *dialogue) hearGreeting(r reply) {
	if d.state == listening {
		d.restarted = true
	}
	if d.state == listening || d.state == resetting || d.state == dropping {
		d.greeting = r.text
	}
}

// askFirst asks for the status, if the controller's manner has a way to.
func (d *dialogue) askFirst() {
	if d.reader.manner.Ask == "" {
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
		return d.fail(silent, &fault.Error{Kind: Silent, What: "the machine is busy with something else and does not come to an end", Do: "stop it at its panel, then send again"})
	}
	return d.clear()
}

// clear resets a machine that stands, so that it holds nothing and its modes are
// its own.
func (d *dialogue) clear() error {
	switch {
	case d.status.doing == moving:
		d.enterQuiet(waiting, pollEvery, pollEvery)
	case d.status.doing == inAlarm:
		return d.inAlarm()
	case d.reader.manner.Reset == "":
		d.wakeUp()
	default:
		d.reset(resetting)
	}
	return nil
}

func (d *dialogue) inAlarm() error {
	return d.fail(lost, &fault.Error{Kind: Alarm, What: "the machine is in alarm and will not move",
		Do: "clear its alarm and bring it home, as its manual says, then send again"})
}

// reset empties the controller of all that it holds. The greeting is its sign
// that it is ready; not every controller has one.
func (d *dialogue) reset(s state) {
	d.window.clear()
	d.drop = true
	d.write(d.reader.manner.Reset)
	d.enterHearing(s, 20*time.Millisecond, time.Second)
}

func (d *dialogue) checked(e event) error {
	switch {
	case e.kind == report && d.status.doing == inAlarm:
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
	d.enter(waking, replyTime)
}

func (d *dialogue) woken(e event) error {
	switch {
	case e.kind == acknowledgement || e.kind == refusal:
		d.enterQuiet(quieting, pollAgain, replyTime)
	case e.kind != deadline:
	case d.tries+1 < mostTries:
		d.tries++
		ready := d.language.Ready(d.job.Machine)
		c := d.language.Chunks(ready)[0]
		d.write("\n" + chunkText(ready, c) + "\n")
		d.enter(waking, replyTime)
	case d.babbled:
		return d.fail(silent, wrongBaud(d.job))
	default:
		return d.fail(silent, &fault.Error{Kind: Silent, What: "the machine does not answer", Do: lookAtSettings})
	}
	return nil
}

// locate asks where the machine stands, if it tells.
func (d *dialogue) locate() {
	if d.questions.live {
		d.query(locating)
		return
	}
	d.begin()
}

// begin notes that the machine is greeted.
func (d *dialogue) begin() {
	d.questions.heard, d.questions.answered = d.now, d.now
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
