package flow

import "time"

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
	p.work += max(seconds(secs), onLine)
	p.busy = max(p.busy, gone) + seconds(secs)
}

// crawlsBy is how many times as long as predicted a machine may take. One that
// takes longer has got another feed than the program's.
const crawlsBy = 3

// crawls reports whether the machine is far behind the prediction.
func (p *pace) crawls(now time.Duration) bool {
	return p.work > 0 && now > p.since+crawlsBy*p.work+motionSlip
}

// over returns when the work is surely over if the prediction is right to a
// tenth.
func (p *pace) over() time.Duration {
	if p.work == 0 {
		return 0
	}
	return p.busy + p.work/10
}
