package acked

import (
	"fmt"
	"strings"
	"time"

	"weftplot/device/flow"
	"weftplot/paths/fault"
)

// probe finds out by empty lines whether a controller without status reports
// stands although lines that it was sent are not answered: then they, or their
// answers, were lost, or it restarted, and the pen rests while they are waited for.
//
// A controller at work answers in the order of the lines, so empty ones wait behind
// the others. One that stands answers them at once, as many as there were and no
// more. Two empty lines, then three, then two again are not met by chance by
// answers that come as moves end: those do not come in such numbers with nothing
// between.
type probe struct {
	known  bool          // it answers empty lines
	trials int           // in a row that were answered so
	open   bool          // a trial is under way
	sent   int           // empty lines of it
	until  time.Duration // when their answers must have come
	end    time.Duration // before when no other may
	prompt int           // answers that came until then
	late   int           // and after
	vain   int           // trials that were not answered at all since a line was
}

const (
	probeAfter  = 300 * time.Millisecond // without an answer
	probePrompt = 30 * time.Millisecond  // for an answer to come
	probeQuiet  = 70 * time.Millisecond  // in which no more may
	probeTrials = 3
	mostVain    = 3 // trials, of empty lines that take up room in the buffer
)

// answered notes that a line was answered.
func (p *probe) answered(now time.Duration) {
	switch {
	case !p.open:
		p.trials, p.vain = 0, 0
	case now <= p.until:
		p.prompt++
	default:
		p.late++
	}
}

// probeForRest begins or ends a trial when it is time to. The error is that of a
// machine that stands without having answered.
func (d *dialogue) probeForRest() error {
	p := &d.probe
	switch {
	case d.window.empty():
		*p = probe{known: p.known}
		return nil
	case p.open && d.now < p.end:
		return nil
	case p.open:
		p.open = false
		if p.prompt != p.sent || p.late > 0 {
			p.trials = 0
			if p.prompt+p.late == 0 {
				p.vain++
			}
			return nil
		}
		if p.trials++; p.trials == probeTrials {
			return d.stands()
		}
	case !p.known || p.vain == mostVain || d.now < max(d.questions.answered, d.window.gone)+probeAfter<<(2*p.vain):
		return nil
	}
	p.sent = 2 + p.trials%2
	d.write(strings.Repeat("\n", p.sent))
	for range p.sent {
		d.window.push(openLine{bytes: 1, gone: d.left})
	}
	p.open, p.prompt, p.late = true, 0, 0
	p.until = d.left + probePrompt
	p.end = p.until + probeQuiet
	return nil
}

// stands is the end of a job on a machine that stands and will not answer.
func (d *dialogue) stands() error {
	n := len(d.window.open)
	d.window.clear()
	d.pace = pace{}
	return d.fail(offRoute, &fault.Error{Kind: flow.Garbled,
		What: fmt.Sprintf("the machine stands, and has not answered %d of the lines that it was sent: they or their answers were lost on the way; if it restarted, it no longer knows where it is", n),
		Do:   "look at cable and power"})
}

// pace is what a machine was given to do since it last stood, by the prediction.
// Of a controller without status reports nothing else tells whether it keeps up.
// The zero value was given nothing.
type pace struct {
	since time.Duration // when the first of it had left
	work  time.Duration // how long it should take, the way over the line included
	busy  time.Duration // until when it should be at work on it
}

// gave notes that a line was written that will have left at gone, after so long
// on the line, and takes so many seconds to carry out.
func (p *pace) gave(gone, onLine time.Duration, secs float64) {
	if p.work == 0 {
		p.since = gone
	}
	p.work += max(flow.Seconds(secs), onLine)
	p.busy = max(p.busy, gone) + flow.Seconds(secs)
}

// crawlsBy is how many times as long as predicted a machine may take. One that
// takes longer has got another feed than the program's.
const crawlsBy = 3

// crawls reports whether the machine is far behind the prediction.
func (p *pace) crawls(now time.Duration) bool {
	return p.work > 0 && now > p.since+crawlsBy*p.work+flow.MotionSlip
}

// over returns when the work is surely over if the prediction is right to a
// tenth.
func (p *pace) over() time.Duration {
	if p.work == 0 {
		return 0
	}
	return p.busy + p.work/10
}
