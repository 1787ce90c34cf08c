package svg

import (
	"math"
	"strconv"
	"strings"

	"weftplot/paths"
)

// scan reads the small languages in SVG's attributes.
type scan struct {
	s string
	i int
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }
func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func (s *scan) done() bool { return s.i >= len(s.s) }

// peek returns the next byte, 0 at the end.
func (s *scan) peek() byte {
	if s.done() {
		return 0
	}
	return s.s[s.i]
}

func (s *scan) space() {
	for !s.done() && isSpace(s.s[s.i]) {
		s.i++
	}
}

// comma skips blanks with at most one comma among them, and reports it.
func (s *scan) comma() bool {
	s.space()
	if s.peek() != ',' {
		return false
	}
	s.i++
	s.space()
	return true
}

func (s *scan) digits() int {
	from := s.i
	for !s.done() && isDigit(s.s[s.i]) {
		s.i++
	}
	return s.i - from
}

func (s *scan) sign() {
	if c := s.peek(); c == '+' || c == '-' {
		s.i++
	}
}

// number reads a number: sign, digits with a point anywhere, exponent (SVG 2,
// Paths, grammar; "1." is SVG 1.1's). It ends where it cannot go on, so that
// "1.5.5" is two. A number too large is infinite; the caller looks at finite.
func (s *scan) number() (float64, bool) {
	from := s.i
	s.sign()
	n := s.digits()
	if s.peek() == '.' {
		s.i++
		n += s.digits()
	}
	if n == 0 {
		s.i = from
		return 0, false
	}
	if mark := s.i; s.peek() == 'e' || s.peek() == 'E' {
		s.i++
		s.sign()
		if s.digits() == 0 {
			s.i = mark // the e of "em"
		}
	}
	v, err := strconv.ParseFloat(s.s[from:s.i], 64)
	return v, err == nil || math.IsInf(v, 0)
}

// atNumber reports whether a number can begin here.
func (s *scan) atNumber() bool {
	c := s.peek()
	return isDigit(c) || c == '+' || c == '-' || c == '.'
}

// flag reads the 0 or 1 of an arc, which needs nothing after it.
func (s *scan) flag() (bool, bool) {
	c := s.peek()
	if c != '0' && c != '1' {
		return false, false
	}
	s.i++
	return c == '1', true
}

// numbers reads a whole list; ok is false when something else is in it.
func numbers(text string) (list []float64, ok bool) {
	s := scan{s: text}
	for s.space(); !s.done(); {
		v, ok := s.number()
		if !ok || !finite(v) {
			return list, false
		}
		list = append(list, v)
		if s.comma() && s.done() {
			return list, false
		}
	}
	return list, true
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// length is a number with its unit as written: "", "%" or letters. What calc()
// sums up is a number of px with a percentage and a multiple of the font size.
type length struct {
	v           float64
	unit        string
	percent, em float64
}

// px has how many px, user units of the outermost picture, are in one unit
// (CSS Values and Units 3, 5.2: the inch is 96 px).
var px = map[string]float64{
	"": 1, "px": 1, "in": 96, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96. / 72, "pc": 16,
}

// mm has how many mm are in one unit. It is no product with px, so that a file
// which says 100mm is 100 mm to the last bit.
var mm = map[string]float64{
	"": paths.MMPerInch / 96, "px": paths.MMPerInch / 96, "in": paths.MMPerInch, "cm": 10, "mm": 1,
	"q": 0.25, "pt": paths.MMPerInch / 72, "pc": paths.MMPerInch / 6,
}

var relativeUnits = map[string]bool{"%": true, "em": true, "ex": true, "ch": true, "rem": true}

// parseLength reads a number with an optional unit, or a percentage.
func parseLength(text string) (length, bool) {
	text = strings.TrimSpace(text)
	if isCalc(text) {
		return parseCalc(text)
	}
	s := scan{s: text}
	v, ok := s.number()
	if !ok || !finite(v) {
		return length{}, false
	}
	unit := strings.ToLower(s.s[s.i:])
	if _, absolute := px[unit]; !absolute && !relativeUnits[unit] {
		return length{}, false
	}
	return length{v: v, unit: unit}, true
}

// negative reports whether l is less than nothing, whatever it refers to.
func (l length) negative() bool { return l.v < 0 && l.percent == 0 && l.em == 0 }

// in returns the length in user units, where whole is what 100% means and em
// the font size.
func (l length) in(whole, em float64) float64 {
	if l.percent != 0 || l.em != 0 {
		return l.v + l.percent/100*whole + l.em*em
	}
	switch l.unit {
	case "%":
		return l.v / 100 * whole
	case "em":
		return l.v * em
	case "ex", "ch": // half an em where the font is not known (CSS Values 3, 5.1)
		return l.v * em / 2
	case "rem":
		return l.v * defaultFontSize
	}
	return l.v * px[l.unit]
}

// defaultFontSize is what programs agree to call medium, in px.
const defaultFontSize = 16
