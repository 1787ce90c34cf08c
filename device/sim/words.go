package sim

import (
	"math"
	"strconv"
	"strings"
)

// word is a letter and its number, as in X12.5.
type word struct {
	letter byte
	value  float64
}

// split reads a line of G-code into words: comments in brackets and after a
// semicolon are dropped, as are blanks, which may stand anywhere (RS-274/NGC,
// section 3.3.2). It returns false when the line is no row of words.
func split(line string) ([]word, bool) {
	line, ok := uncomment(line)
	if !ok {
		return nil, false
	}
	var words []word
	for line != "" {
		l := line[0]
		if l < 'A' || l > 'Z' || strings.IndexByte("EOUVW", l) >= 0 { // no words: appendix E.3
			return nil, false
		}
		n := 1
		for n < len(line) && strings.IndexByte("+-.0123456789", line[n]) >= 0 {
			n++
		}
		v, err := strconv.ParseFloat(line[1:n], 64)
		if err != nil || math.Abs(v) > 1e6 {
			return nil, false
		}
		words = append(words, word{l, v})
		line = line[n:]
	}
	return words, true
}

// uncomment drops comments and blanks and folds to upper case.
func uncomment(line string) (string, bool) {
	if i := strings.IndexByte(line, ';'); i >= 0 {
		line = line[:i]
	}
	var out strings.Builder
	inside := false
	for _, r := range line {
		switch {
		case r == '(' && !inside:
			inside = true
		case r == ')' && inside:
			inside = false
		case inside || r == ' ' || r == '\t' || r == '%':
		default:
			out.WriteRune(r)
		}
	}
	return strings.ToUpper(out.String()), !inside
}
