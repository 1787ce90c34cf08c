package acked

import (
	"time"

	"weftplot/device/flow/answers"
	"weftplot/paths"
)

// questions is the clock of questions for the status, and of what is heard.
// Answers come in the order of the questions. One that got lost makes those after
// it seem older than they are, until it is given up.
type questions struct {
	live  bool          // the controller answers such questions
	asked time.Duration // when the last was put
	// pending are when those without an answer were put, oldest first, and of is
	// when the latest answer was asked for, or before.
	pending  []time.Duration
	of       time.Duration
	answers  int           // how many reports came
	heard    time.Duration // when anything was heard
	answered time.Duration // when a line was last answered, or none was left to be
	// inVain is when the first question since anything was heard was put; before
	// heard if there is none.
	inVain time.Duration
}

// deadAfter is how long a controller may be silent although it is asked for its
// status.
const deadAfter = 5 * time.Second

// ask notes that a question is put.
func (q *questions) ask(now time.Duration) {
	q.asked = now
	for len(q.pending) > 0 && now-q.pending[0] > deadAfter {
		q.pending = q.pending[1:]
	}
	q.pending = append(q.pending, now)
}

// askAgain notes that a question is put because another look is due.
func (q *questions) askAgain(now time.Duration) {
	if q.inVain <= q.heard {
		q.inVain = now
	}
	q.ask(now)
}

// report notes that a status report came.
func (q *questions) report() {
	q.answers++
	if len(q.pending) > 0 {
		q.of, q.pending = q.pending[0], q.pending[1:]
	}
}

// silentFor returns how long questions have gone unanswered, and whether that is
// too long. Silence counts from a question: this computer may itself have slept.
func (q *questions) silentFor(now time.Duration) (time.Duration, bool) {
	if q.inVain <= q.heard {
		return 0, false
	}
	return now - q.inVain, now-q.inVain > deadAfter
}

// worth finds out whether the places in a controller's reports can be relied on.
// Some controllers report the same place whatever they do.
type worth struct {
	first   paths.Point
	any     bool // a place was reported
	changed bool // and another one since
	nothing bool // the places are not to be relied on
}

// hear takes in a report.
func (w *worth) hear(r answers.Reply) {
	switch {
	case !r.HasPlace || w.changed:
	case !w.any:
		w.first, w.any = r.Place, true
	default:
		w.changed = r.Place != w.first
	}
}
