// Package answers takes apart what a controller says that answers line by line:
// which of its lines are acknowledgements, refusals, alarms, status reports and
// greetings is data of the machine's profile, profiles.Manner. It has no port and
// no clock. Both kinds of flow control read with it.
package answers

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/profiles"
)

// Kind is what a line from a controller is.
type Kind int

const (
	Noise           Kind = iota // it means nothing
	Acknowledgement             // of the oldest line that is not answered
	Refusal                     // of that line
	Alarm                       // the controller stopped by itself
	Report                      // its status
	Aside                       // of no consequence
	Greeting                    // what it says when it starts; the last of the kinds
)

// Activity is what a status report says that a controller is at.
type Activity int

const (
	Busy    Activity = iota // in a state that the profile has no word for
	Idle                    // nothing left to do
	Moving                  // carrying out a move
	Held                    // stopped by a hold
	InAlarm                 // in alarm
)

// Reply is a line from a controller, taken apart.
type Reply struct {
	Kind Kind
	Text string // without the blanks around it
	// The rest is of a report: what the controller does, in its own word too, in
	// small letters, and the place that it tells, in its own lengths.
	Doing    Activity
	Word     string
	Place    paths.Point
	HasPlace bool
	Z        float64
	HasZ     bool
}

// Reader takes the lines of a controller apart, as its manner says. Whatever is
// not plainly one of the known answers is noise: an acknowledgement that was half
// heard must not count as one.
type Reader struct {
	Manner  profiles.Manner
	status  *regexp.Regexp // nil if there are no reports
	states  map[string]Activity
	letters int // in the longest word that an answer begins with
}

// NewReader returns the reader of a manner. The error is that of its regular
// expression; a manner that was validated has none.
func NewReader(m profiles.Manner) (*Reader, error) {
	form, err := m.StatusForm()
	if err != nil {
		return nil, err
	}
	r := &Reader{Manner: m, status: form, states: map[string]Activity{},
		letters: max(len(m.Accepted), len(m.Refused), len(m.Alarm))}
	for at, words := range map[Activity][]string{Idle: m.States.Idle, Moving: m.States.Moving, Held: m.States.Held, InAlarm: m.States.Alarm} {
		for _, w := range words {
			r.states[strings.ToLower(w)] = at
		}
	}
	return r, nil
}

// Read takes a line apart.
func (r *Reader) Read(line string) Reply {
	text := strings.Trim(line, " \t\r\n\x00")
	if report, ok := r.report(text); ok {
		return report
	}
	return Reply{Kind: r.kindOf(text), Text: text}
}

// kindOf returns what a line is that is no status report.
func (r *Reader) kindOf(text string) Kind {
	m := r.Manner
	switch {
	case m.Accepted == "":
		return Noise // the manner of a machine that has none
	case strings.EqualFold(text, m.Accepted):
		return Acknowledgement
	case begins(text, m.Refused):
		return Refusal
	case begins(text, m.Alarm):
		return Alarm
	}
	for _, a := range m.Aside {
		if begins(text, a) {
			return Aside
		}
	}
	if r.greets(text) {
		return Greeting
	}
	return Noise
}

// begins is [strings.HasPrefix] without regard to case.
func begins(s, prefix string) bool {
	return len(s) >= len(prefix) && strings.EqualFold(s[:len(prefix)], prefix)
}

// greets reports whether a line that is no answer is what the controller says
// when it starts: the words of its profile, or else any line for a person to
// read that is not the end of an answer whose beginning was missed.
func (r *Reader) greets(text string) bool {
	if IsBabble(text) {
		return false
	}
	if g := r.Manner.Greeting; g != "" {
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
func (r *Reader) report(text string) (Reply, bool) {
	if r.status == nil {
		return Reply{}, false
	}
	found := r.status.FindStringSubmatch(text)
	if found == nil {
		return Reply{}, false
	}
	part := func(name string) string { return found[r.status.SubexpIndex(name)] }
	number := func(name string) (float64, bool) {
		if r.status.SubexpIndex(name) < 0 {
			return 0, false
		}
		v, err := strconv.ParseFloat(part(name), 64)
		return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	out := Reply{Kind: Report, Text: text, Word: strings.ToLower(part("state"))}
	out.Doing = r.states[out.Word]
	x, okX := number("x")
	y, okY := number("y")
	if okX && okY {
		out.Place, out.HasPlace = paths.Point{X: x, Y: y}, true
		out.Z, out.HasZ = number("z")
	}
	return out, true
}

// IsBabble reports whether a line holds what no controller says: it hints at a
// wrong baud rate.
func IsBabble(line string) bool {
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
	r, err := NewReader(m)
	if err != nil {
		return false, err
	}
	for _, text := range strings.FieldsFunc(said, func(c rune) bool { return c == '\r' || c == '\n' }) {
		if k := r.Read(text).Kind; k == Acknowledgement || k == Refusal {
			return true, nil
		}
	}
	return false, nil
}
