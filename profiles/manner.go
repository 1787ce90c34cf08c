package profiles

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// Manner is what a controller that acknowledges every line answers, and which
// bytes it acts on at once. Words are compared without regard to case, on lines
// stripped of blanks at both ends.
//
// [UsualManner] is the default.
type Manner struct {
	// Greeting is a part of what the controller sends when it starts; ""
	// accepts anything.
	Greeting string `toml:"greeting"`
	// Accepted is the whole answer to a line that was accepted, Refused the
	// beginning of an answer that refuses one, and Alarm the beginning of a
	// line that reports that the controller stopped on its own.
	Accepted string `toml:"accepted"`
	Refused  string `toml:"refused"`
	Alarm    string `toml:"alarm"`
	// Aside are the beginnings of lines that can be ignored.
	Aside []string `toml:"aside"`
	// Status is a regular expression (RE2 syntax) that matches a whole status
	// report. Its part named state is a word of States; x, y and z are the
	// position, mm, and may be left out. "" says that there are no reports.
	Status string `toml:"status"`
	// Ask asks for a report, Hold slows down to a stop, GoOn ends a hold, and
	// Reset discards everything that the controller has buffered. Each is a
	// single byte that takes no room in the buffer and is not acknowledged; ""
	// says that the controller has none.
	Ask   string `toml:"ask"`
	Hold  string `toml:"hold"`
	GoOn  string `toml:"go_on"`
	Reset string `toml:"reset"`
	// States are the words of a report's state.
	States States `toml:"states"`
}

// States are the words for the state of a controller. A word that is in none of
// the lists means only that it is neither at rest nor in alarm.
type States struct {
	Idle   []string `toml:"idle"`   // at rest, ready for lines
	Moving []string `toml:"moving"` // carrying out a program
	Held   []string `toml:"held"`   // in a hold
	Alarm  []string `toml:"alarm"`  // stopped on its own
}

// UsualManner is the manner of a profile that names none: common practice among
// small controllers. Every call returns a new value.
func UsualManner() Manner {
	return Manner{
		Accepted: "ok", Refused: "error", Alarm: "alarm", Aside: []string{"["},
		Status: `(?i)<(?P<state>[a-z]+)(?:(?:[^a-z<>][^<>]*?)??[ |:;=](?P<x>[-+]?[0-9.]+),(?P<y>[-+]?[0-9.]+)(?:,(?P<z>[-+]?[0-9.]+))?(?:[ |:;=,][^<>]*)?>|(?:[^a-z<>][^<>]*)?>)`,
		Ask:    "?", Hold: "!", GoOn: "~", Reset: "\x18",
		States: States{Idle: []string{"idle"}, Moving: []string{"run"}, Held: []string{"hold"}, Alarm: []string{"alarm"}},
	}
}

// Limits of a manner: no controller has longer words.
const (
	longestWord   = 40  // bytes
	longestStatus = 300 // bytes
	mostWords     = 16  // in a list of them
)

// StatusForm returns the expression of a status report, which matches whole
// lines only, and nil if there are none. The error is the one from compiling
// it.
func (m Manner) StatusForm() (*regexp.Regexp, error) {
	if m.Status == "" {
		return nil, nil
	}
	return regexp.Compile(`^(?:` + m.Status + `)$`)
}

func (m Manner) validate(c *checker) {
	c.plainWord("serial.manner.greeting", m.Greeting, 0)
	c.plainWord("serial.manner.accepted", m.Accepted, 1)
	c.plainWord("serial.manner.refused", m.Refused, 1)
	c.plainWord("serial.manner.alarm", m.Alarm, 1)
	c.plainWords("serial.manner.aside", m.Aside)
	begins := append([]string{m.Refused, m.Alarm}, m.Aside...)
	for i, b := range begins {
		if clash(b, m.Accepted) || i > 0 && clash(b, m.Refused) || i > 1 && clash(b, m.Alarm) {
			c.fail("serial.manner", "words of which none begins as another does", fmt.Sprintf("%q", b))
		}
	}
	m.validateBytes(c)
	m.validateStatus(c)
	m.States.validate(c)
}

// clash reports whether a line can begin with both.
func clash(a, b string) bool {
	a, b = strings.ToLower(a), strings.ToLower(b)
	return strings.HasPrefix(a, b) || strings.HasPrefix(b, a)
}

// validateBytes checks the bytes that the controller acts on at once: they must
// differ, and none may occur in a program.
func (m Manner) validateBytes(c *checker) {
	seen := map[string]string{}
	for _, k := range []struct{ key, s string }{{"ask", m.Ask}, {"hold", m.Hold}, {"go_on", m.GoOn}, {"reset", m.Reset}} {
		if k.s == "" {
			continue
		}
		key := "serial.manner." + k.key
		if len(k.s) != 1 || k.s[0] == 0 || k.s[0] > '~' || strings.ContainsAny(k.s, "\r\n\t +-.,()%;*/") || isLetterOrDigit(k.s[0]) {
			c.fail(key, "a single byte that stands in no program: a sign or a control byte", fmt.Sprintf("%q", k.s))
		}
		if other, taken := seen[k.s]; taken {
			c.fail(key, "another byte than "+other, fmt.Sprintf("%q", k.s))
		}
		seen[k.s] = key
	}
	if m.Ask != "" && m.Status == "" {
		c.fail("serial.manner.status", "the form of a report, since serial.manner.ask asks for one", `""`)
	}
}

func isLetterOrDigit(b byte) bool {
	return b >= '0' && b <= '9' || b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z'
}

// validateStatus checks the form of a report and the names of its parts.
func (m Manner) validateStatus(c *checker) {
	const key = "serial.manner.status"
	if len(m.Status) > longestStatus {
		c.fail(key, fmt.Sprintf("at most %d bytes long", longestStatus), fmt.Sprintf("an expression of %d", len(m.Status)))
		return
	}
	form, err := m.StatusForm()
	if err != nil {
		c.fail(key, "a regular expression of RE2 syntax", fmt.Sprintf("%q (%v)", m.Status, err))
		return
	}
	if form == nil {
		return
	}
	parts := map[string]int{}
	for _, name := range form.SubexpNames() {
		if name != "" {
			parts[name]++
		}
	}
	for _, name := range form.SubexpNames() {
		if name != "" && (parts[name] > 1 || !slices.Contains([]string{"state", "x", "y", "z"}, name)) {
			c.fail(key, "an expression whose parts are named state, x, y and z, each once", fmt.Sprintf("the part %q", name))
		}
	}
	if parts["state"] == 0 || parts["x"] != parts["y"] || parts["z"] > parts["x"] {
		c.fail(key, "an expression with a part named state, and x and y together if any place", fmt.Sprintf("%q", m.Status))
	}
}

// validate checks the words of the states: each must be plain and in one list
// only.
func (s States) validate(c *checker) {
	seen := map[string]bool{}
	for _, row := range []struct {
		key   string
		words []string
	}{{"idle", s.Idle}, {"moving", s.Moving}, {"held", s.Held}, {"alarm", s.Alarm}} {
		key := "serial.manner.states." + row.key
		c.plainWords(key, row.words)
		for _, w := range row.words {
			if w = strings.ToLower(w); seen[w] {
				c.fail(key, "a row of words that stand nowhere else among the states", fmt.Sprintf("%q", w))
			}
			seen[w] = true
		}
	}
	if len(s.Idle) == 0 || len(s.Moving) == 0 {
		c.fail("serial.manner.states", "at least a word for idle and one for moving", "none")
	}
}

// plainWord checks a word of a controller.
func (c *checker) plainWord(key, s string, least int) {
	bad := strings.TrimSpace(s) != s || strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r > '~' })
	if bad || len(s) < least || len(s) > longestWord {
		c.fail(key, fmt.Sprintf("%d to %d plain characters, with no blank at either end", least, longestWord), fmt.Sprintf("%q", s))
	}
}

func (c *checker) plainWords(key string, words []string) {
	if len(words) > mostWords {
		c.fail(key, fmt.Sprintf("at most %d words", mostWords), fmt.Sprintf("a row of %d", len(words)))
	}
	for _, w := range words {
		c.plainWord(key, w, 1)
	}
}
