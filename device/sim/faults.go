package sim

import (
	"bytes"
	"cmp"
	"math"
	"slices"
)

// FaultKind is a way in which a line or a machine goes wrong.
type FaultKind int

const (
	// DropDown, FlipDown, DoubleDown and DelayDown lose a byte on its way to
	// the plotter, turn one of its bits, bring it twice, or bring it and all
	// that follow late.
	DropDown FaultKind = iota
	FlipDown
	DoubleDown
	DelayDown
	// DropUp to DelayUp do so on the way back.
	DropUp
	FlipUp
	DoubleUp
	DelayUp
	// LostAck, DoubleAck and LateAck lose an acknowledgement, send it twice,
	// or late.
	LostAck
	DoubleAck
	LateAck
	// Noise puts bytes that nobody sent before an answer.
	Noise
	// Restart is a machine that loses its power for a moment, and with it all
	// that it held and its place.
	Restart
	// HangUp breaks the line; what the machine holds it still does.
	HangUp
	// Silence is a machine that answers nothing for a time.
	Silence
	// AlarmStop is a machine that stops by itself in mid-motion.
	AlarmStop
)

// String names the kind.
func (k FaultKind) String() string {
	return [...]string{"byte lost", "bit turned", "byte doubled", "bytes late", "answer's byte lost",
		"answer's bit turned", "answer's byte doubled", "answer late", "acknowledgement lost",
		"acknowledgement doubled", "acknowledgement late", "noise", "restart", "hang-up", "silence", "alarm"}[k]
}

// Fault is one thing that goes wrong, once, at the first chance from At on.
type Fault struct {
	At   float64 // s since the plotter was switched on
	Kind FaultKind
	For  float64 // s that a delay or a silence lasts
	Bit  uint    // the bit that turns, 0 to 7
	Skip int     // chances to let go by first
}

// WithFaults scripts what goes wrong on the line and at its end. It returns l.
func (l *Line) WithFaults(script ...Fault) *Line {
	f := &faults{script: slices.Clone(script)}
	slices.SortStableFunc(f.script, func(a, b Fault) int {
		return cmp.Compare(a.At, b.At)
	})
	l.faults = f
	return l
}

// faults is the rest of a script. The nil script is none.
type faults struct {
	script   []Fault
	downLate float64 // delay of all bytes under way
	upLate   float64
	speaks   float64 // when a silence ends; 0 none
}

// due takes the first fault of one of the kinds whose time has come out of the
// script.
func (f *faults) due(t float64, from, to FaultKind) (Fault, bool) {
	if f == nil {
		return Fault{}, false
	}
	for i, x := range f.script {
		if x.At > t {
			break
		}
		if x.Kind >= from && x.Kind <= to {
			if x.Skip > 0 {
				f.script[i].Skip--
				return Fault{}, false
			}
			f.script = slices.Delete(f.script, i, i+1)
			return x, true
		}
	}
	return Fault{}, false
}

// garble does what kind says to a byte; kinds are counted from DropDown.
func garble(x Fault, kind FaultKind, a arrival, late *float64) []arrival {
	switch kind {
	case DropDown:
		return nil
	case FlipDown:
		a.b ^= 1 << (x.Bit & 7)
	case DoubleDown:
		return []arrival{a, a}
	case DelayDown:
		*late = a.at + x.For
	}
	return []arrival{a}
}

// down passes a byte on its way to the plotter.
func (f *faults) down(a arrival) []arrival {
	if f == nil {
		return []arrival{a}
	}
	out := []arrival{a}
	if x, ok := f.due(a.at, DropDown, DelayDown); ok {
		out = garble(x, x.Kind, a, &f.downLate)
	}
	for i := range out {
		out[i].at = max(out[i].at, f.downLate)
	}
	return out
}

// up passes a byte on its way back.
func (f *faults) up(a arrival) []arrival {
	if f == nil {
		return []arrival{a}
	}
	out := []arrival{a}
	if x, ok := f.due(a.at, DropUp, DelayUp); ok {
		out = garble(x, x.Kind-DropUp, a, &f.upLate)
	}
	for i := range out {
		out[i].at = max(out[i].at, f.upLate)
	}
	return out
}

// answers passes what the plotter says at time t, where accepted is the whole
// line by which it acknowledges one.
func (f *faults) answers(t float64, said, accepted []byte) []byte {
	if f == nil || len(said) == 0 {
		return said
	}
	if f.speaks > t {
		return nil
	}
	if _, ok := f.due(t, Noise, Noise); ok {
		said = append([]byte{0xf8, 'x', 0x80, '\r', '\n'}, said...)
	}
	i := bytes.Index(said, accepted)
	if i < 0 || len(accepted) == 0 {
		return said
	}
	x, is := f.due(t, LostAck, LateAck)
	if !is {
		return said
	}
	rest := slices.Clone(said[i+len(accepted):])
	switch x.Kind {
	case LostAck:
		return append(slices.Clone(said[:i]), rest...)
	case DoubleAck:
		return slices.Concat(said[:i], accepted, accepted, rest)
	default:
		f.upLate = t + x.For
	}
	return said
}

// next returns when the next fault of the machine itself is due.
func (f *faults) next() float64 {
	if f == nil {
		return math.Inf(1)
	}
	for _, x := range f.script {
		if x.Kind >= Restart {
			return x.At
		}
	}
	return math.Inf(1)
}

// breakable is a plotter that can fail by itself.
type breakable interface {
	Restart()
	AlarmStop()
}

// strike lets the machine's own faults happen that are due.
func (f *faults) strike(l *Line) {
	x, ok := f.due(l.now, Restart, AlarmStop)
	if !ok {
		return
	}
	p, _ := l.plotter.(breakable)
	switch {
	case x.Kind == HangUp:
		l.hungUp = true
	case x.Kind == Silence:
		f.speaks = l.now + x.For
	case x.Kind == Restart && p != nil:
		p.Restart()
	case x.Kind == AlarmStop && p != nil:
		p.AlarmStop()
	}
}

// PlugIn makes a line that was hung up whole again. What was under way on it is
// lost.
func (l *Line) PlugIn() {
	l.hungUp, l.to, l.his = false, nil, nil
	l.toFree, l.hisFree = l.now, l.now
}
