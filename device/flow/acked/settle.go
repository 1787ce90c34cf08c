package acked

import (
	"strings"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
)

// settle sends the instruction whose answer comes when the motion has ended, and
// has it confirmed by a status report where there are such.
func (d *dialogue) settle() { d.feed(draining, openLine{text: d.waitLine()}) }

// waitLine is the language's dwell of no length.
func (d *dialogue) waitLine() string { return strings.TrimSpace(d.language.Queries().Wait) }

// drained goes on once all lines are answered.
func (d *dialogue) drained() {
	if !d.questions.live {
		d.outlast()
		return
	}
	d.tries = 0
	d.lookForRest(confirming)
}

// outlast waits until all should be done, since a dwell may have been answered
// when it was queued, or an answer may have come twice. Answers that come
// meanwhile are too many.
func (d *dialogue) outlast() {
	until := d.now
	if d.early || d.now < d.pace.busy-d.pace.work/10 {
		until = d.pace.over()
	}
	d.state, d.wait = outlasting, wait{until: max(until, d.now)}
	if until <= d.now {
		d.settled()
	}
}

// settled notes that nothing is left to do.
func (d *dialogue) settled() { d.state, d.pace, d.surplus = ready, pace{}, 0 }

// lookForRest asks for the status until the machine has nothing left to do.
func (d *dialogue) lookForRest(s state) {
	d.reports = d.questions.answers
	d.questions.ask(d.now)
	d.write(d.reader.Manner.Ask)
	d.enter(s, d.longest())
}

// confirm looks whether the machine that has nothing left to do stands where it
// should.
func (d *dialogue) confirm() error {
	if d.now > d.wait.until {
		return d.silence(d.longest())
	}
	if d.questions.answers <= d.reports || d.status.Doing != answers.Idle {
		return nil
	}
	if d.state == reconfirming {
		return d.returned()
	}
	if d.worth.nothing {
		d.state = ready
		return nil
	}
	off := d.follower.atRest(d.sighting())
	if off == nil {
		d.confirmed()
	}
	if off == nil || !d.follower.trusted {
		d.state = ready
		return nil
	}
	d.tries++
	d.enterQuiet(doubting, flow.PollAgain, flow.PollAgain)
	return nil
}

// confirmed notes that the machine stands where it should.
func (d *dialogue) confirmed() {
	d.follower.confirm(d.sighting())
	d.counted = d.now
}

// lookedAgain goes on after the pause before another look at a machine that
// stands where it should not.
func (d *dialogue) lookedAgain() error {
	if d.tries < mostTries {
		d.lookForRest(confirming)
		return nil
	}
	off := d.follower.atRest(d.sighting())
	m := d.timeline.At(d.window.written)
	switch {
	case off == nil:
		d.state = ready
		return nil
	case d.worth.changed || m.Down || !m.Moved:
		return d.fail(offRoute, off)
	}
	// Its place has never been another than it was at first: its first travel
	// was lost, or its reports do not tell where it is. The travel is sent again,
	// pen up.
	travel, _ := d.language.MoveTo(d.job.Machine, m.At)
	d.feed(returning, openLine{text: strings.TrimSpace(string(travel))}, openLine{text: d.waitLine()})
	return d.advance()
}

// returned goes on after the travel was sent again. Where that changed nothing,
// the place is left out of account from there on.
func (d *dialogue) returned() error {
	switch off := d.follower.atRest(d.sighting()); {
	case off == nil:
		d.confirmed()
	case d.worth.changed:
		return d.fail(offRoute, off)
	default:
		d.worth.nothing, d.follower.following = true, false
	}
	d.state = ready
	return nil
}

const patientAfter = 200 * time.Millisecond

// watched waits for a look that finds the pen down in the stroke. One so brief
// that it is all drawn before that is looked at where it ends. When no answer
// comes it does not wait much longer than the stroke takes: the pen would rest.
func (d *dialogue) watched() {
	switch {
	case d.follower.downIn >= d.stroke:
		d.state = ready
	case d.status.Doing == answers.Idle && d.questions.of > d.window.gone:
		d.settle()
	case d.now > d.wait.until+patientAfter:
		d.state = ready
	}
}
