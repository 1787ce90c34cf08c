package hpgl

import (
	"strconv"
	"strings"
)

// esc opens an escape sequence.
const esc = 27

// scanner goes through the text.
type scanner struct {
	text string
	pos  int
	line int
}

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }
func isDigit(c byte) bool  { return c >= '0' && c <= '9' }

// step goes one byte on and keeps the count of lines.
func (s *scanner) step() {
	if s.text[s.pos] == '\n' {
		s.line++
	}
	s.pos++
}

func (s *scanner) skipSpace() {
	for s.pos < len(s.text) && (s.text[s.pos] == ' ' || s.text[s.pos] >= '\t' && s.text[s.pos] <= '\r') {
		s.step()
	}
}

func (s *scanner) hasPrefix(p string) bool { return strings.HasPrefix(s.text[s.pos:], p) }

func (s *scanner) skipLine() {
	for s.pos < len(s.text) && s.text[s.pos] != '\n' {
		s.pos++
	}
}

// through skips to just after the byte end, and reports whether there was one.
func (s *scanner) through(end byte) bool {
	for s.pos < len(s.text) {
		found := s.text[s.pos] == end
		s.step()
		if found {
			return true
		}
	}
	return false
}

// numbers appends the parameters of an instruction: numbers apart by commas,
// spaces or their signs, up to a semicolon, which is taken, or whatever else
// comes. Numbers of absurd length are cut.
func (s *scanner) numbers(out []float64) []float64 {
	for {
		s.skipSpace()
		if s.pos >= len(s.text) {
			return out
		}
		switch c := s.text[s.pos]; {
		case c == ',':
			s.pos++
		case c == ';':
			s.pos++
			return out
		case isDigit(c) || c == '.' || c == '-' || c == '+':
			v, ok := s.number()
			if !ok {
				return out
			}
			out = append(out, v)
		default:
			return out
		}
	}
}

// number reads a sign, digits and one point.
func (s *scanner) number() (float64, bool) {
	start := s.pos
	if c := s.text[s.pos]; c == '-' || c == '+' {
		s.pos++
	}
	point, digits := false, false
	for s.pos < len(s.text) {
		c := s.text[s.pos]
		if isDigit(c) {
			digits = true
		} else if c == '.' && !point {
			point = true
		} else {
			break
		}
		s.pos++
	}
	if !digits {
		return 0, true // a sign or a point alone
	}
	v, err := strconv.ParseFloat(s.text[start:s.pos], 64)
	if err != nil || v > 1e12 || v < -1e12 {
		return 0, false
	}
	return v, true
}

// escape skips an escape sequence: a device control, ESC . and a letter, with
// parameters up to a colon where it has some (7470A, 10-23), or one of a
// printer's, which ends with a large letter.
func (r *reader) escape() {
	r.notes.Once("escape", r.line, "escape sequences are skipped")
	r.pos++
	if r.pos >= len(r.text) {
		return
	}
	c := r.text[r.pos]
	switch {
	case c == '.':
		r.pos++
		if r.pos >= len(r.text) {
			return
		}
		c = r.text[r.pos]
		r.step()
		if strings.IndexByte("@HIMNPQSTU", c) < 0 {
			return
		}
		for r.pos < len(r.text) && (isDigit(r.text[r.pos]) || r.text[r.pos] == ';' || r.text[r.pos] == ' ') {
			r.pos++
		}
		if r.pos < len(r.text) && r.text[r.pos] == ':' {
			r.pos++
		}
	case c >= '!' && c <= '/':
		for r.pos < len(r.text) && (r.text[r.pos] < '@' || r.text[r.pos] > '^') && r.text[r.pos] != '\n' {
			r.pos++
		}
		if r.pos < len(r.text) && r.text[r.pos] != '\n' {
			r.pos++
		}
	default:
		r.step()
	}
}
