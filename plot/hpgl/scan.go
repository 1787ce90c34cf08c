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
// comes.
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
			out = append(out, s.number())
		default:
			return out
		}
	}
}

// huge is beyond what any parameter can mean; larger numbers are taken for it.
const huge = 1e12

// number reads a sign, digits and one point. A sign or a point alone is 0.
func (s *scanner) number() float64 {
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
		return 0
	}
	// The only error is a number out of range, which comes as an infinite one.
	v, _ := strconv.ParseFloat(s.text[start:s.pos], 64)
	return max(-huge, min(huge, v))
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
		if c == '%' && r.text[r.pos-1] == 'A' {
			r.printed()
		}
	default:
		r.step()
	}
}

// printed skips what is in a printer's language, after ESC % and a number and A,
// up to the ESC % that leads back: PCL 5, chapter 18 (from memory).
func (r *reader) printed() {
	r.notes.Once("printer", r.line, "what is in a printer's own language is skipped")
	for r.pos < len(r.text) {
		if !r.hasPrefix("\x1b%") {
			r.step()
			continue
		}
		end := strings.IndexAny(r.text[r.pos+2:min(len(r.text), r.pos+12)], "ABX")
		if end >= 0 && r.text[r.pos+2+end] == 'B' {
			return
		}
		r.pos += 2
	}
}
