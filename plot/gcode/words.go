package gcode

import (
	"fmt"
	"strconv"
	"strings"
)

// words are what one line of a program says.
type words struct {
	g, m     []int // G and M words in tenths: G59.3 is 593
	value    [26]float64
	has      [26]bool // by letter; G, M and N excepted
	comments []string
	deleted  bool // the line starts with a stroke: it may be left out
	percent  bool
}

func (w *words) reset() {
	*w = words{g: w.g[:0], m: w.m[:0], comments: w.comments[:0]}
}

func (w *words) get(letter byte) (float64, bool) { return w.value[letter-'A'], w.has[letter-'A'] }

// or returns the value of a word, or what holds when there is none.
func (w *words) or(letter byte, otherwise float64) float64 {
	if v, ok := w.get(letter); ok {
		return v
	}
	return otherwise
}

// any reports whether there is a word on the line.
func (w *words) any() bool { return len(w.g) > 0 || len(w.m) > 0 || w.has != [26]bool{} }

// parse takes a line apart by the rules of NISTIR 6556, 3.3: white space may
// stand anywhere outside comments, letters may be small, a letter other than G
// and M stands once. A semicolon opens a comment to the end of the line (common
// practice).
func (w *words) parse(line string) error {
	w.reset()
	blank := true
	for i := 0; i < len(line); {
		c := line[i]
		switch {
		case isSpace(c):
			i++
			continue
		case c == '/' && blank:
			w.deleted = true
			i++
		case c == '%' && blank:
			w.percent = true
			i++
		case c == ';':
			w.comments = append(w.comments, line[i+1:])
			return nil
		case c == '(':
			n := strings.IndexAny(line[i+1:], "()")
			if n < 0 || line[i+1+n] == '(' {
				return fmt.Errorf("a comment does not end on its line, or holds another")
			}
			w.comments = append(w.comments, line[i+1:i+1+n])
			i += n + 2
		case isLetter(c):
			n, err := w.word(c&^0x20, line[i+1:])
			if err != nil {
				return err
			}
			i += 1 + n
		case c == '#' || c == '[':
			return fmt.Errorf("it computes with parameters, which are not read here")
		default:
			return fmt.Errorf("%q does not belong in a program", c)
		}
		blank = false
	}
	return nil
}

// word reads the number after a letter and keeps the word. It returns how many
// bytes the number took.
func (w *words) word(letter byte, rest string) (int, error) {
	v, n, err := number(rest)
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

// number reads a sign, digits and one point, with white space anywhere among
// them: NISTIR 6556, 3.3.2.1. There is no form with an exponent.
func number(s string) (v float64, n int, err error) {
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
		case (c == '#' || c == '[') && len(text) == 0:
			return 0, 0, fmt.Errorf("it computes with parameters, which are not read here")
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
	if err != nil || v > 1e7 || v < -1e7 {
		return 0, 0, fmt.Errorf("%s is not a number that can be used", text)
	}
	return v, n, nil
}

func isSpace(c byte) bool  { return c == ' ' || c == '\t' || c == '\r' }
func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }
