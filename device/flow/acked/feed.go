package acked

import (
	"fmt"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/paths/fault"
)

// underWay takes in an event while the machine is fed.
func (d *dialogue) underWay(e event) error {
	if e.kind != pause && e.kind != deadline {
		return d.hear(e)
	}
	if d.state == outlasting {
		if d.now >= d.wait.until {
			d.settled()
		}
		return nil
	}
	if d.state == doubting {
		if d.wait.over(e) {
			return d.lookedAgain()
		}
		return nil
	}
	if err := d.watchClock(); err != nil {
		return err
	}
	return d.advance()
}

// feed begins to write lines, and names the state after them.
func (d *dialogue) feed(then state, lines ...openLine) {
	d.queue = append(d.queue[:0:0], lines...)
	d.state, d.then, d.first = feeding, then, true
}

// advance goes from state to state as far as nothing has to be waited for.
func (d *dialogue) advance() error {
	for {
		was := d.state
		on, err := d.step()
		if err != nil || !on && d.state == was {
			return err
		}
	}
}

// step takes one step in a state of feeding and settling. It reports whether
// another may be taken in the same state.
func (d *dialogue) step() (on bool, err error) {
	switch d.state {
	case feeding:
		return d.feedOne(), nil
	case counting:
		if d.questions.of >= d.counted && d.follower.nearEnd(d.window.written, 2*time.Duration(d.window.size)*d.perByte) ||
			d.now-d.counted > d.countEvery() {
			d.state = feeding
		}
	case draining:
		if d.window.empty() {
			d.drained()
		}
	case returning:
		if d.window.empty() {
			d.lookForRest(reconfirming)
		}
	case confirming, reconfirming:
		return false, d.confirm()
	case watching:
		d.watched()
	}
	return false, nil
}

// feedOne writes the first line of the queue if it fits in the window.
func (d *dialogue) feedOne() bool {
	if len(d.queue) == 0 {
		d.state = d.then
		return false
	}
	if d.first {
		d.first = false
		if d.countDue() {
			d.counted = d.now
			d.questions.ask(d.now)
			d.write(d.reader.Manner.Ask)
			d.state = counting
			return false
		}
	}
	l := d.queue[0]
	l.bytes = len(l.text) + 1
	if !d.window.fits(l.bytes) {
		return false
	}
	if d.window.empty() {
		d.questions.answered = d.now // the wait for its answer begins now
	}
	d.idles = 0
	d.write(l.text + "\n")
	l.gone = d.left
	if l.end > 0 {
		t := d.timeline
		d.follower.given(d.now)
		d.pace.gave(l.gone, time.Duration(l.bytes)*d.perByte, t.At(l.end).Seconds-t.At(d.window.written).Seconds)
	}
	d.window.push(l)
	d.queue, d.first = d.queue[1:], true
	return true
}

// recountEvery is how long a stroke may go on before the lines that wait in the
// controller are counted anew.
const recountEvery = 5 * time.Second

func (d *dialogue) countEvery() time.Duration {
	return max(recountEvery, 100*reportSize*d.perByte) // a slow line has no time to spare
}

// countDue reports whether it is time to let the machine come near the end of
// what it was sent, so that every answer has come, and those too many are dropped
// with no line waiting for them. What is left to do keeps it moving meanwhile.
func (d *dialogue) countDue() bool {
	return d.follower.following && d.now-d.counted >= d.countEvery()
}

// hear takes in a line of the controller's.
func (d *dialogue) hear(e event) error {
	d.questions.heard = d.now
	r := e.reply
	switch e.kind {
	case acknowledgement:
		d.pop()
		return d.tooManyAnswers()
	case refusal:
		bad, _ := d.pop()
		return d.rejected(bad, r.Text)
	case alarm:
		return d.stoppedByItself(r.Text)
	case report:
		return d.report(r)
	case greeting, noise:
		return d.unexpected(r)
	}
	return nil
}

// pop counts the oldest line as answered.
func (d *dialogue) pop() (openLine, bool) {
	d.questions.answered, d.idles = d.now, 0
	d.probe.answered(d.now)
	l, ok := d.window.pop(d.now)
	if !ok {
		d.surplus++
	}
	d.nudged = d.nudged && !d.window.empty()
	return l, ok
}

func (d *dialogue) rejected(bad openLine, answer string) error {
	e := &fault.Error{Kind: flow.Rejected, What: fmt.Sprintf("the machine refused %q with %s", bad.text, quote(answer)),
		Do: "its manual says what the answer means; a line that is right may have been garbled on the way: try a shorter cable"}
	if bad.line > 0 {
		e.Where = fmt.Sprintf("line %d of the program", bad.line)
	}
	return d.fail(refused, e)
}

func (d *dialogue) stoppedByItself(text string) error {
	return d.fail(lost, &fault.Error{Kind: flow.Alarm, What: "the machine stopped by itself, saying " + quote(text),
		Do: "find out why from its manual"})
}

// mostStrange is how many lines that mean nothing are passed over.
const mostStrange = 100

// unexpected judges a line that is no answer. A greeting in the middle of a job
// says that the controller has restarted, and so has lost the lines it held and
// its place; anything else is noise until there is too much of it.
func (d *dialogue) unexpected(r answers.Reply) error {
	if r.Text == "" {
		return nil
	}
	if d.greetings.restart(r, d.now, d.reader.Manner.Greeting != "") {
		return d.restart(r.Text)
	}
	if d.strange++; d.strange > mostStrange {
		return d.fail(silent, &fault.Error{Kind: flow.Garbled, What: fmt.Sprintf("too much of what comes from the machine makes no sense, as %s", quote(r.Text)),
			Do: "look at the cable and keep it away from motors; compare serial.baud with the machine's manual"})
	}
	return nil
}

// watchClock asks for the status when it is time to, and notices silence.
func (d *dialogue) watchClock() error {
	q := &d.questions
	if !q.live {
		if silence := d.now - q.answered; silence > d.longest() {
			return d.silence(silence)
		}
		if d.pace.crawls(d.now) {
			if silence := d.now - q.answered; silence > flow.MotionSlip {
				return d.silence(silence)
			}
			return d.crawling()
		}
		return d.probeForRest()
	}
	if silence, tooLong := q.silentFor(d.now); tooLong {
		return d.silence(silence)
	}
	if d.now-q.asked >= d.lookEvery() {
		q.askAgain(d.now)
		d.write(d.reader.Manner.Ask)
	}
	return nil
}

// lookEvery is how long after a question for the status the next is due.
func (d *dialogue) lookEvery() time.Duration {
	switch {
	case d.idles > 0:
		return flow.PollAgain
	case !d.follower.following:
		return flow.PollEvery
	}
	return looksEvery(d.job.Machine.Speed, d.perByte)
}

// longest is how long the next answer may take: twice the predicted time of all
// the motion that can lie between two answers, and some.
func (d *dialogue) longest() time.Duration {
	t := d.timeline
	return flow.MotionSlip + flow.Seconds(2*(t.At(d.window.written).Seconds-t.At(d.window.oldest()).Seconds))
}

func (d *dialogue) silence(s time.Duration) error {
	what := fmt.Sprintf("the machine has said nothing for %.0f seconds", s.Seconds())
	if !d.questions.live {
		what += "; if it restarted, it no longer knows where it is"
	}
	return d.fail(silent, &fault.Error{Kind: flow.Silent, What: what, Do: "look at plug, power and the machine's stop switch"})
}

// crawling is the end of a job on a machine that takes far longer than predicted.
func (d *dialogue) crawling() error {
	return d.fail(offRoute, &fault.Error{Kind: flow.Garbled,
		What: fmt.Sprintf("the machine takes more than %d times as long as predicted: a feed was garbled on its way, or its profile names other speeds than it has", crawlsBy),
		Do:   "look at the cable; compare the speeds of its profile with its manual"})
}

// mostSurplus is how many answers more than lines are passed over, from one stop
// to the next, of a machine without reports: each let a line go too early.
const mostSurplus = 4

// tooManyAnswers ends a job on a machine that goes on answering more lines than it
// was sent, and cannot be asked where it is.
func (d *dialogue) tooManyAnswers() error {
	if d.questions.live || d.surplus <= mostSurplus {
		return nil
	}
	return d.fail(offRoute, &fault.Error{Kind: flow.Garbled, What: fmt.Sprintf("the machine answered %d lines more than it was sent: answers come twice", d.surplus),
		Do: "look at the cable and keep it away from motors"})
}

// report takes in a status report. One that says twice that nothing is left to
// do, while lines are not answered, means that their answers were lost, or they
// themselves: the position tells which.
func (d *dialogue) report(r answers.Reply) error {
	d.status = r
	d.worth.hear(r)
	d.questions.report()
	switch {
	case r.Doing == answers.InAlarm:
		return d.stoppedByItself(r.Text)
	case r.Doing == answers.Held:
		return d.fail(lost, &fault.Error{Kind: flow.Stopped, What: "the machine was put on hold, not by this program", Do: "end the hold at the machine"})
	case r.Doing != answers.Idle || d.window.empty() || d.questions.of < d.window.gone+flow.PollAgain/2:
		d.idles = 0
		if silence := d.now - d.questions.answered; !d.window.empty() && silence > 2*d.longest() {
			return d.silence(silence)
		}
		return d.follow()
	}
	d.follower.idles(d.sighting())
	if d.idles++; d.idles < 2 {
		return nil
	}
	return d.unanswered()
}

// follow holds a moving machine to the program's route.
func (d *dialogue) follow() error {
	doubt, err := d.follower.judge(d.sighting())
	if err != nil {
		return d.fail(offRoute, err)
	}
	if doubt {
		d.questions.ask(d.now)
		d.write(d.reader.Manner.Ask)
	}
	return nil
}

// unanswered deals with lines that will never be answered.
func (d *dialogue) unanswered() error {
	if !d.nudged {
		// Half a line may be waiting for an end that was lost on the way.
		d.nudged, d.idles = true, 0
		d.write("\n")
		d.window.push(openLine{bytes: 1, gone: d.left})
		return nil
	}
	d.nudged = false
	s := d.sighting()
	if err := d.follower.atRest(s); err != nil {
		return d.fail(offRoute, err)
	}
	if d.follower.cameFromNowhere(s) {
		return d.restart("")
	}
	if err := d.follower.untold(s); err != nil {
		return d.fail(offRoute, err)
	}
	for !d.window.empty() {
		d.pop()
	}
	return nil
}
