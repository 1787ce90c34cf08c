package gcode

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// maxComments bounds the comments of one line.
const maxComments = 64

// words are the content of one line of a program.
type words struct {
	g, m     []int // G and M words in tenths: G59.3 is 593
	value    [26]float64
	has      [26]bool // by letter; G, M and N excepted
	comments []string
	settings []setting
	computed bool // a value is worked out of others
	text     string
	deleted  bool // the line starts with a stroke: it may be left out
	percent  bool
	open     bool                  // a comment does not end
	nested   bool                  // a comment holds another
	checksum bool                  // the line carries a checksum
	oWord    string                // what O begins, up to a comment: "O100 SUB"
	keys     map[penWordsOf]string // of lines so far; see [penKey]
}

func (w *words) reset() {
	*w = words{g: w.g[:0], m: w.m[:0], comments: w.comments[:0], settings: w.settings[:0], keys: w.keys}
}

func (w *words) get(letter byte) (float64, bool) { return w.value[letter-'A'], w.has[letter-'A'] }

// hasG reports whether a G word, in tenths, is on the line.
func (w *words) hasG(code int) bool { return slices.Contains(w.g, code) }

// or returns the value of a word, or what holds when there is none.
func (w *words) or(letter byte, otherwise float64) float64 {
	if v, ok := w.get(letter); ok {
		return v
	}
	return otherwise
}

// any reports whether there is a word on the line.
func (w *words) any() bool {
	return len(w.g) > 0 || len(w.m) > 0 || w.has != [26]bool{} || w.oWord != ""
}

// parse takes a line apart by the rules of NISTIR 6556, 3.3: white space may
// stand anywhere outside comments, letters may be small, a letter other than G
// and M stands once, parameters are set when the line has been read. A semicolon
// opens a comment to the end of the line, and a star a checksum (common
// practice). A comment that does not end ends with its line, and one that holds
// another with it; the standard has neither.
func (w *words) parse(line string, p parameters) error {
	w.reset()
	blank := true
	for i := 0; i < len(line); {
		if isSpace(line[i]) {
			i++
			continue
		}
		n, err := w.item(line[i:], blank, p)
		if err != nil {
			return err
		}
		i += n
		blank = false
	}
	return nil
}

// opensO reports whether a text opens with an O word, or a line with a colon and a number,
// by which a program may have its number, too.
func opensO(text string, first bool) bool {
	return text[0]|0x20 == 'o' || first && len(text) > 1 && text[0] == ':' && isDigit(text[1])
}

// item takes in what a text begins with, which is no blank, and returns how many
// bytes that is; first tells that nothing stands before it on the line.
func (w *words) item(text string, first bool, p parameters) (int, error) {
	rest := text[1:]
	var n int
	var err error
	switch c := text[0]; {
	case c == '/' && first:
		w.deleted = true
	case c == '%' && first:
		w.percent = true
	case c == ';':
		w.comments = append(w.comments, rest)
		n = len(rest)
	case c == '(':
		n = w.comment(rest)
		if len(w.comments) > maxComments {
			err = fmt.Errorf("there are too many comments on the line")
		}
	case opensO(text, first):
		n = strings.IndexAny(rest, "(;")
		if n < 0 {
			n = len(rest)
		}
		w.oWord = strings.TrimSpace(text[:1+n])
	case isLetter(c):
		n, err = w.word(c&^0x20, rest, p)
	case c == '#':
		n, err = w.setting(rest, p)
	case c == '*' && !first && isChecksum(rest):
		w.checksum = true
		n = len(rest)
	default:
		err = fmt.Errorf("%q does not belong in a program", c)
	}
	return 1 + n, err
}

// comment keeps the comment that text, after its bracket, begins with. It
// returns how many bytes it took with the bracket that ends it.
func (w *words) comment(text string) int {
	depth := 1
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '(':
			depth++
			w.nested = true
		case ')':
			depth--
		}
		if depth == 0 {
			w.comments = append(w.comments, text[:i])
			return i + 1
		}
	}
	w.open = true
	w.comments = append(w.comments, text)
	return len(text)
}

func isChecksum(text string) bool {
	text = strings.TrimSpace(text)
	return text != "" && strings.Trim(text, "0123456789") == ""
}

// word reads the value after a letter and keeps the word. It returns how many
// bytes the value took.
func (w *words) word(letter byte, rest string, p parameters) (int, error) {
	v, n, err := p.value(rest, &w.computed)
	if err != nil {
		return 0, fmt.Errorf("%c: %w", letter, err)
	}
	switch letter {
	case 'N':
	case 'G', 'M':
		code := int(v*10 + 0.5)
		if v < 0 || v > 999 {
			return 0, fmt.Errorf("%c%g is no code", letter, v)
		}
		if letter == 'G' {
			w.g = append(w.g, code)
		} else {
			w.m = append(w.m, code)
		}
		if len(w.g) > 12 || len(w.m) > 4 { // one of each group; NISTIR 6556, 3.3.5
			return 0, fmt.Errorf("there are too many %c words", letter)
		}
	default:
		if w.has[letter-'A'] {
			return 0, fmt.Errorf("%c stands twice", letter)
		}
		w.has[letter-'A'], w.value[letter-'A'] = true, v
	}
	return n, nil
}

// setting reads what follows the sign of a parameter that is set: its number,
// and the value after the equals sign.
func (w *words) setting(text string, p parameters) (int, error) {
	e := expression{text: text, vars: p, computed: &w.computed}
	n, err := e.parameter()
	if err != nil {
		return 0, err
	}
	if !e.take('=') {
		return 0, fmt.Errorf("#%d stands alone; a parameter is set by #%d=", n, n)
	}
	v, took, err := p.value(text[e.pos:], &w.computed)
	if err != nil {
		return 0, err
	}
	w.settings = append(w.settings, setting{n, v})
	if len(w.settings) > maxParameter {
		return 0, fmt.Errorf("there are too many parameters set on the line")
	}
	return e.pos + took, nil
}

// maxValue is larger than any position, feed or time a plotter could be given,
// and than the coordinates of the centre of any arc that is visibly bent.
const maxValue = 1e9

// number reads a sign, digits and one point, with white space anywhere among
// them: NISTIR 6556, 3.3.2.1. There is no form with an exponent.
func number(s string) (v float64, n int, err error) {
	if v, n, ok := plainNumber(s); ok {
		return v, n, nil
	}
	var buf [48]byte
	text := buf[:0]
	digits, point := false, false
scan:
	for n = 0; n < len(s); n++ {
		switch c := s[n]; {
		case isSpace(c):
			continue
		case c >= '0' && c <= '9':
			digits = true
		case c == '.' && !point:
			point = true
		case (c == '+' || c == '-') && len(text) == 0:
		default:
			break scan
		}
		if len(text) == cap(text) {
			return 0, 0, fmt.Errorf("the number is too long")
		}
		text = append(text, s[n])
	}
	if !digits {
		return 0, 0, fmt.Errorf("a number is missing")
	}
	v, err = strconv.ParseFloat(string(text), 64)
	if err != nil || math.Abs(v) > maxValue {
		return 0, 0, fmt.Errorf("%s is not a number that can be used", text)
	}
	return v, n, nil
}

// plainNumber is [number] for one of at most 15 digits without white space, as nearly all
// are: its digits are a whole number that is exact as a float64, and so is the power of
// ten that it is divided by, so that the quotient is the float64 that is nearest.
func plainNumber(s string) (v float64, n int, ok bool) {
	negative, whole, digits, after := strings.HasPrefix(s, "-"), uint64(0), 0, -1
	if negative || strings.HasPrefix(s, "+") {
		n++
	}
	for ; n < len(s); n++ {
		c := s[n]
		if c >= '0' && c <= '9' {
			whole = 10*whole + uint64(c-'0')
			digits++
		} else if c == '.' && after < 0 {
			after = digits
		} else {
			break
		}
		if digits > 15 {
			return 0, 0, false
		}
	}
	if digits == 0 || n < len(s) && mayGoOn(s[n]) {
		return 0, 0, false
	}
	v = float64(whole)
	if after >= 0 {
		v /= math.Pow10(digits - after)
	}
	if v > maxValue {
		return 0, 0, false
	}
	if negative {
		v = -v
	}
	return v, n, true
}

// mayGoOn reports whether a number may go on with a byte, or is spoilt by it.
func mayGoOn(c byte) bool  { return isSpace(c) || c == '.' || c == '+' || c == '-' }
func isSpace(c byte) bool  { return c == ' ' || c == '\t' || c == '\r' }
func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }
