package sim

import (
	"bytes"
	"cmp"
	"math"
	"slices"
)

// FaultKind is a way in which a line or a machine goes wrong.
type FaultKind int

// The kinds of faults: of bytes down to the plotter and up from it, of
// acknowledgements, of the line, and of the machine.
const (
	// DropDown loses a byte on its way to the plotter.
	DropDown FaultKind = iota
	// FlipDown flips one bit of a byte on its way to the plotter.
	FlipDown
	// DoubleDown delivers a byte to the plotter twice.
	DoubleDown
	// DelayDown delivers a byte, and all that follow it, to the plotter late.
	DelayDown
	// DropUp loses a byte from the plotter.
	DropUp
	// FlipUp flips one bit of a byte from the plotter.
	FlipUp
	// DoubleUp delivers a byte from the plotter twice.
	DoubleUp
	// DelayUp delivers a byte from the plotter, and all that follow it, late.
	DelayUp
	// LostAck loses an acknowledgement.
	LostAck
	// DoubleAck sends an acknowledgement twice.
	DoubleAck
	// LateAck sends an acknowledgement late.
	LateAck
	// Noise inserts bytes that nobody sent before an answer.
	Noise
	// Restart cuts the machine's power for a moment: it loses everything that
	// it held, and its place.
	Restart
	// HangUp breaks the line; the machine still carries out what it holds.
	HangUp
	// Silence stops the machine's answers for a time.
	Silence
	// AlarmStop makes the machine stop on its own during motion.
	AlarmStop
)

// String returns the name of the kind.
func (k FaultKind) String() string {
	return [...]string{"byte lost", "bit turned", "byte doubled", "bytes late", "answer's byte lost",
		"answer's bit turned", "answer's byte doubled", "answer late", "acknowledgement lost",
		"acknowledgement doubled", "acknowledgement late", "noise", "restart", "hang-up", "silence", "alarm"}[k]
}

// Fault is one thing that goes wrong once, at the first opportunity from At on.
type Fault struct {
	At   float64 // s since the plotter was switched on
	Kind FaultKind
	For  float64 // s that a delay or a silence lasts
	Bit  uint    // the bit that flips, 0 to 7
	Skip int     // opportunities to skip first
}

// WithFaults scripts what goes wrong on the line and in the plotter. It returns
// l.
func (l *Line) WithFaults(script ...Fault) *Line {
	f := &faults{script: slices.Clone(script)}
	slices.SortStableFunc(f.script, func(a, b Fault) int {
		return cmp.Compare(a.At, b.At)
	})
	l.faults = f
	return l
}

// faults is what is still to happen of a script. A nil one does nothing.
type faults struct {
	script   []Fault
	downLate float64 // delay of all bytes under way
	upLate   float64
	speaks   float64 // when a silence ends; 0 none
}

// due removes from the script, and returns, the first fault of one of the kinds
// whose time has come.
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

// garble applies a fault to a byte; kind counts from DropDown.
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

// answers passes on what the plotter sends at time t; accepted is the whole
// line with which it acknowledges a line.
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

// next returns when the next fault of the machine itself, not of the line, is
// due.
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

// breakable is a plotter that can fail on its own.
type breakable interface {
	Restart()
	AlarmStop()
}

// strike makes the machine's own faults happen when they are due.
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

// PlugIn restores a line that was hung up. Bytes that were on their way are
// lost.
func (l *Line) PlugIn() {
	l.hungUp, l.to, l.his = false, nil, nil
	l.toFree, l.hisFree = l.now, l.now
}
