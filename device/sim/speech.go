package sim

import (
	"fmt"
	"regexp/syntax"
	"strings"

	"weftplot/profiles"
)

// lineEnd ends each line that a controller sends.
const lineEnd = "\r\n"

// speech makes the lines that a controller sends, in the manner of its profile.
type speech struct {
	profiles.Manner
	form *syntax.Regexp // of a status report, nil if there are none
}

// newSpeech returns the speech for a manner, which must be valid.
func newSpeech(m profiles.Manner) speech {
	s := speech{Manner: m}
	if m.Status == "" {
		return s
	}
	form, err := syntax.Parse(m.Status, syntax.Perl)
	if err != nil {
		panic("sim: a manner that was not validated: " + err.Error())
	}
	s.form = form
	return s
}

// signal is the effect of a byte that is acted on at once.
type signal int

const (
	noSignal signal = iota
	ask
	hold
	goOn
	reset
)

// signal returns the effect of a byte.
func (s speech) signal(b byte) signal {
	switch string(rune(b)) {
	case s.Ask:
		return ask
	case s.Hold:
		return hold
	case s.GoOn:
		return goOn
	case s.Reset:
		return reset
	}
	return noSignal
}

// greeting returns what a controller of that name sends when it starts.
func (s speech) greeting(name string) string {
	words := s.Greeting
	if words == "" {
		words = "simulated plotter ready"
	}
	return words + ", " + name
}

// numbered returns an answer of words and a number.
func numbered(words string, n int) string {
	return fmt.Sprintf("%s:%d", strings.TrimSuffix(words, ":"), n)
}

// report returns a status report: the first of the words for the state, and the
// position, mm.
func (s speech) report(words []string, x, y, z float64) string {
	if s.form == nil || len(words) == 0 {
		return ""
	}
	three := func(v float64) string { return fmt.Sprintf("%.3f", v) }
	return written(s.form, map[string]string{"state": words[0], "x": three(x), "y": three(y), "z": three(z)})
}

// written returns a text that the expression matches, with values for its named
// parts. Optional pieces are written only when they have a named part.
func written(re *syntax.Regexp, values map[string]string) string {
	switch re.Op {
	case syntax.OpLiteral:
		if re.Flags&syntax.FoldCase != 0 {
			return strings.ToLower(string(re.Rune))
		}
		return string(re.Rune)
	case syntax.OpCapture:
		if v, ok := values[re.Name]; ok {
			return v
		}
		return written(re.Sub[0], values)
	case syntax.OpCharClass:
		return classMember(re.Rune)
	case syntax.OpAnyChar, syntax.OpAnyCharNotNL:
		return " "
	case syntax.OpAlternate:
		best := re.Sub[0]
		for _, sub := range re.Sub {
			if namedParts(sub) > namedParts(best) {
				best = sub
			}
		}
		return written(best, values)
	case syntax.OpStar, syntax.OpQuest:
		if namedParts(re) == 0 {
			return ""
		}
	case syntax.OpRepeat:
		return strings.Repeat(written(re.Sub[0], values), max(re.Min, min(1, namedParts(re))))
	}
	var out strings.Builder
	for _, sub := range re.Sub {
		out.WriteString(written(sub, values))
	}
	return out.String()
}

// classMember returns the first printable character of a class, given as pairs
// of first and last.
func classMember(ranges []rune) string {
	for i := 0; i+1 < len(ranges); i += 2 {
		if r := max(ranges[i], ' '); r <= ranges[i+1] {
			return string(r)
		}
	}
	return ""
}

// namedParts counts the named parts of an expression.
func namedParts(re *syntax.Regexp) int {
	n := 0
	if re.Name != "" {
		n++
	}
	for _, sub := range re.Sub {
		n += namedParts(sub)
	}
	return n
}
