package outside

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"strconv"

	"weftplot/device"
	"weftplot/paths/fault"
	"weftplot/profiles"
)

// breach is a promise that a run broke. The letters are those of the promises:
//
//	a  no error means that nothing is missing
//	u  the same, of a machine whose answers cannot tell: there no error must be
//	   readable as predicted, not as proved
//	b  stray ink stays within bounds, or the error's text says it
//	c  the error's text tells truly how the machine was left
//	d  nothing is drawn from a lost place, a resumed job becomes whole, what is
//	   drawn twice was announced, what the journal calls drawn is drawn
//	e  the pen does not rest on the cloth
//	f  every wait is bounded
//	g  a stop on request ends with the pen up
//	h  no controller's buffer is overrun, and a sound line and machine give no error
type breach struct {
	letter, what string
}

// What the sentences about a machine that was left claim.
var (
	saysLifted = regexp.MustCompile(`pen lifted`)
	// Of a machine that does not tell its place no bound can be known; then the
	// error is to say so.
	saysAny   = regexp.MustCompile(`stray lines of any length may be on the cloth`)
	saysStray = regexp.MustCompile(`a stray line of up to ([0-9.]+) mm may be on the cloth`)
	saysLost  = regexp.MustCompile(`(?i)lost (its|the) place|place is (lost|not known)|knows where it is|may not know where|restarted|lost steps|home`)
)

// told is all that an error tells the person at the machine.
func told(err error) string {
	if err == nil {
		return "no error"
	}
	var f *fault.Error
	if errors.As(err, &f) {
		return f.Error() + " [" + f.Do + "]"
	}
	return err.Error()
}

func (d *judged) breaks(letter, format string, args ...any) {
	d.broken = append(d.broken, breach{letter, fmt.Sprintf(format, args...)})
}

// gap is how much may seem to be missing by the grain of the measure, mm.
const gap = 0.6

// judge writes down which promises a run broke.
func (d *judged) judge(r rig, kind string, f faults) {
	d.judgeEnd(r, kind)
	d.judgeStray(r)
	d.judgeTold()
	d.judgeRest(r, kind, f)
	if kind == "stop" {
		d.judgeStop()
	}
	if d.first.err != nil || d.first.killed {
		d.judgeResumed()
	}
}

func (d *judged) judgeEnd(r rig, kind string) {
	l := d.first
	if l.err == nil && !l.killed && !l.endless {
		if r.ends && r.places && l.missingAtReturn > gap {
			d.breaks("a", "no error, but %.1f mm were missing when it returned, and %.1f mm for good", l.missingAtReturn, d.atFirst.missing)
		} else if l.missingAtReturn > gap && l.out.Proof != device.ByClock {
			d.breaks("u", "no error from a machine that cannot tell: %.1f mm were missing when it returned after %.1f s (predicted %.1f s), and %.1f mm for good", l.missingAtReturn, l.seconds, l.out.Predicted, d.atFirst.missing)
		}
		if l.seconds > l.out.Predicted+30 {
			d.breaks("f", "took %.1f s without an error, predicted %.1f s", l.seconds, l.out.Predicted)
		}
	}
	if l.endless {
		d.breaks("f", "had not returned after %.0f s", l.seconds)
	}
	if kind == "nothing" && l.err != nil {
		d.breaks("h", "an error though nothing was wrong: %v", told(l.err))
	}
	if kind == "nothing" && l.over {
		d.breaks("h", "the buffer was overrun")
	}
}

// strayBound is how far stray ink may lie before it has to be said.
func strayBound(r rig) float64 {
	if r.machine.Language == profiles.GCode {
		return 2
	}
	return 20
}

func (d *judged) judgeStray(r rig) {
	l, far := d.first, d.atFirst.farthest
	if l.killed || far <= near {
		return
	}
	switch {
	case l.err == nil && l.out.Proof == device.ByClock:
		// That it is a prediction, and where to look, is what the end says then.
	case l.err == nil && far > strayBound(r):
		d.breaks("b", "no error, but stray ink up to %.1f mm off (%.1f mm of it)", far, d.atFirst.stray)
	case l.err != nil:
		if !r.places && saysAny.MatchString(told(l.err)) {
			return
		}
		m := saysStray.FindStringSubmatch(told(l.err))
		if m == nil && far > strayBound(r) {
			d.breaks("b", "stray ink up to %.1f mm off (%.1f mm of it) of which the error says nothing: %s", far, d.atFirst.stray, told(l.err))
		} else if m != nil {
			if n, _ := strconv.ParseFloat(m[1], 64); far > n+1 {
				d.breaks("c", "the error tells of a stray line of up to %s mm; ink lies up to %.1f mm off (%.1f mm of it)", m[1], far, d.atFirst.stray)
			}
		}
	}
}

func (d *judged) judgeTold() {
	l := d.first
	if l.err == nil {
		return
	}
	text := told(l.err)
	if saysLifted.MatchString(text) {
		switch {
		case !l.upLater:
			d.breaks("c", "the pen is said to be lifted and stays down: %s", text)
		case !l.upAtReturn:
			d.breaks("c", "the pen is said to be lifted while it is still down: %s", text)
		case l.inkLater > near:
			d.breaks("c", "the machine is said to be stopped and goes on to draw %.1f mm: %s", l.inkLater, text)
		}
	}
	if l.lost && !saysLost.MatchString(text) {
		d.breaks("c", "the machine has lost its place, of which the error says nothing: %s", text)
	}
}

func (d *judged) judgeRest(r rig, kind string, f faults) {
	switch kind {
	case "silence", "hang-up", "restart-pen-stays", "kill", "kill-power-off", "alarm":
		return
	}
	most := 1 + f.lateBy
	if f.restartAt > 0 {
		most += bootTime
	}
	if r.ends && d.first.rest > most {
		d.breaks("e", "the pen rested on the cloth for %.1f s", d.first.rest)
	}
}

func (d *judged) judgeStop() {
	l := d.first
	if l.err != nil && !errors.Is(l.err, context.Canceled) {
		d.breaks("g", "the error does not wrap the context's: %v", l.err)
	}
	// Before the first word the pen stands where a person left it.
	if !l.upLater && l.wasUp {
		d.breaks("g", "the pen stays down after a stop on request")
	}
}

func (d *judged) judgeResumed() {
	if d.claimedGap > gap {
		d.breaks("d", "the journal calls %d strokes drawn, of which %.1f mm are missing", d.claimed, d.claimedGap)
	}
	if d.journalDone {
		if d.final.missing > gap {
			d.breaks("d", "the journal says that all is drawn; %.1f mm are missing", d.final.missing)
		}
		return
	}
	if d.resumed != nil {
		d.judgeAsItIs(d.resumed)
	}
	if l := d.last; l != nil && (l.err != nil || l.endless) {
		d.breaks("d", "cannot be resumed though the machine was brought home: %v", l.err)
		return
	}
	if d.final.missing > gap {
		d.breaks("d", "the resumed job ended without an error; %.1f mm are missing (journal: %d strokes drawn, %d of the rest begun, known %v)", d.final.missing, d.claimed, d.announced, d.known)
	}
	if again := d.final.again - d.atFirst.again; d.known && again > d.announced {
		d.breaks("d", "%d strokes were drawn again (%.1f mm), %d were announced", again, d.final.twice, d.announced)
	}
}

// judgeAsItIs judges a job that was taken up without bringing the machine home.
func (d *judged) judgeAsItIs(l *leg) {
	lost := l.lost
	switch {
	case lost && l.err == nil && (d.farResumed > d.atFirst.farthest+near || d.final.missing > gap):
		d.breaks("d", "resumed and drawn from a lost place, without a word; ink up to %.1f mm off, %.1f mm missing", d.farResumed, d.final.missing)
	case d.farResumed > d.atFirst.farthest+2:
		d.breaks("d", "resumed, and ink up to %.1f mm off (before: %.1f): %v", d.farResumed, d.atFirst.farthest, told(l.err))
	case l.endless:
		d.breaks("f", "had not returned after %.0f s of the resumed job", l.seconds)
	}
	if l.over {
		d.breaks("h", "the buffer was overrun in the resumed job")
	}
}
