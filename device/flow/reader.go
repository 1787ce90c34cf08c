package flow

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/profiles"
)

// activity is what a status report says that a controller is at.
type activity int

const (
	busy   activity = iota // in a state that the profile has no word for
	idle                   // nothing left to do
	moving                 // carrying out a move
	held                   // stopped by a hold
	inAlarm
)

// reply is a line from a controller, taken apart.
type reply struct {
	kind eventKind // acknowledgement, refusal, alarm, report, aside, greeting or noise
	text string
	// The rest is of a report: what the controller does, in its own word too,
	// and the place that it tells, in its own lengths.
	doing    activity
	word     string
	place    paths.Point
	hasPlace bool
	z        float64
	hasZ     bool
}

// reader takes the lines of a controller apart, as its manner says. Whatever is
// not plainly one of the known answers is noise: an acknowledgement that was half
// heard must not count as one.
type reader struct {
	manner  profiles.Manner
	status  *regexp.Regexp // nil if there are no reports
	states  map[string]activity
	letters int // in the longest word that an answer begins with
}

// newReader returns the reader of a manner. The error is that of its regular
// expression; a manner that was validated has none.
func newReader(m profiles.Manner) (*reader, error) {
	form, err := m.StatusForm()
	if err != nil {
		return nil, err
	}
	r := &reader{manner: m, status: form, states: map[string]activity{},
		letters: max(len(m.Accepted), len(m.Refused), len(m.Alarm))}
	for at, words := range map[activity][]string{idle: m.States.Idle, moving: m.States.Moving, held: m.States.Held, inAlarm: m.States.Alarm} {
		for _, w := range words {
			r.states[strings.ToLower(w)] = at
		}
	}
	return r, nil
}

// read takes a line apart.
func (r *reader) read(line string) reply {
	text := strings.Trim(line, " \t\r\n\x00")
	if report, ok := r.report(text); ok {
		return report
	}
	return reply{kind: r.kindOf(text), text: text}
}

// kindOf returns what a line is that is no status report.
func (r *reader) kindOf(text string) eventKind {
	m := r.manner
	switch {
	case m.Accepted == "":
		return noise // the manner of a machine that has none
	case strings.EqualFold(text, m.Accepted):
		return acknowledgement
	case begins(text, m.Refused):
		return refusal
	case begins(text, m.Alarm):
		return alarm
	}
	for _, a := range m.Aside {
		if begins(text, a) {
			return aside
		}
	}
	if r.greets(text) {
		return greeting
	}
	return noise
}

// begins is [strings.HasPrefix] without regard to case.
func begins(s, prefix string) bool {
	return len(s) >= len(prefix) && strings.EqualFold(s[:len(prefix)], prefix)
}

// greets reports whether a line that is no answer is what the controller says
// when it starts: the words of its profile, or else any line for a person to
// read that is not the end of an answer whose beginning was missed.
func (r *reader) greets(text string) bool {
	if isBabble(text) {
		return false
	}
	if g := r.manner.Greeting; g != "" {
		return strings.Contains(strings.ToLower(text), strings.ToLower(g))
	}
	letters := 0
	for _, c := range text {
		switch {
		case c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z':
			letters++
		case strings.ContainsRune("<>|[]", c):
			return false
		}
	}
	return letters >= r.letters
}

// report takes a status report apart.
func (r *reader) report(text string) (reply, bool) {
	if r.status == nil {
		return reply{}, false
	}
	found := r.status.FindStringSubmatch(text)
	if found == nil {
		return reply{}, false
	}
	part := func(name string) string { return found[r.status.SubexpIndex(name)] }
	number := func(name string) (float64, bool) {
		if r.status.SubexpIndex(name) < 0 {
			return 0, false
		}
		v, err := strconv.ParseFloat(part(name), 64)
		return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	out := reply{kind: report, text: text, word: strings.ToLower(part("state"))}
	out.doing = r.states[out.word]
	x, okX := number("x")
	y, okY := number("y")
	if okX && okY {
		out.place, out.hasPlace = paths.Point{X: x, Y: y}, true
		out.z, out.hasZ = number("z")
	}
	return out, true
}

// isBabble reports whether a line holds what no controller says: it hints at a
// wrong baud rate.
func isBabble(line string) bool {
	for _, b := range []byte(line) {
		if b >= 0x7f || b < ' ' && b != '\t' {
			return true
		}
	}
	return false
}

// Speaks reports whether what a machine said, when it was sent an empty line,
// holds an answer of that manner: a line taken or refused. The error is that of a
// manner that was not validated.
func Speaks(m profiles.Manner, said string) (bool, error) {
	r, err := newReader(m)
	if err != nil {
		return false, err
	}
	for _, text := range strings.FieldsFunc(said, func(c rune) bool { return c == '\r' || c == '\n' }) {
		if k := r.read(text).kind; k == acknowledgement || k == refusal {
			return true, nil
		}
	}
	return false, nil
}
