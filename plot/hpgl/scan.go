package hpgl

import (
	"strconv"
	"strings"
)

// esc opens an escape sequence.
const esc = 27

// etx ends a label unless DT says otherwise: 7470A, 5-6.
const etx = 3

// scanner goes through the text of a program, item by item.
type scanner struct {
	text       string
	pos        int
	line       int
	terminator byte // of labels
	params     []float64
	noWayBack  bool // no sequence further on leads from a printer's language to HP-GL/2
}

func newScanner(text string) scanner {
	s := scanner{text: text, line: 1, terminator: etx}
	if strings.HasPrefix(text, byteOrderMark) {
		s.pos = len(byteOrderMark)
	}
	return s
}

// byteOrderMark is what some editors put before the text. It is no part of the program.
const byteOrderMark = "\xef\xbb\xbf"

// kind is what stands at a place between two instructions.
type kind int

const (
	atEnd     kind = iota // of the text
	separator             // a semicolon or comma that ends nothing
	escape                // an escape sequence
	printer               // a line of printer commands
	named                 // an instruction
	stray                 // a byte that begins nothing
)

// next skips blanks and returns what follows; of an instruction the name, in
// large letters, is taken, of all else nothing.
func (s *scanner) next() (k kind, name string) {
	s.skipSpace()
	if s.pos >= len(s.text) {
		return atEnd, ""
	}
	switch c := s.text[s.pos]; {
	case c == ';' || c == ',':
		return separator, ""
	case c == esc:
		return escape, ""
	case c == '@' && strings.EqualFold(s.text[s.pos:min(len(s.text), s.pos+4)], "@PJL"):
		return printer, ""
	case isLetter(c) && s.pos+1 < len(s.text) && isLetter(s.text[s.pos+1]):
		name = string([]byte{c &^ 0x20, s.text[s.pos+1] &^ 0x20})
		s.pos += 2
		return named, name
	}
	return stray, ""
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

// numbers returns the parameters of an instruction: numbers apart by commas,
// spaces or their signs, up to a semicolon, which is taken, or whatever else
// comes. They hold until the next call.
func (s *scanner) numbers() []float64 {
	s.params = s.params[:0]
	for {
		s.skipSpace()
		if s.pos >= len(s.text) {
			return s.params
		}
		switch c := s.text[s.pos]; {
		case c == ',':
			s.pos++
		case c == ';':
			s.pos++
			return s.params
		case isDigit(c) || c == '.' || c == '-' || c == '+':
			s.params = append(s.params, s.number())
		default:
			return s.params
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
// parameters up to a colon where it has some (7470A, 10-23), or a printer's. It
// reports whether what follows is in the printer's own language: after ESC % and a number
// and A, and after the reset ESC E where a way back to HP-GL/2 follows. A plotter that is
// no printer knows the reset, too, and goes on in its own language.
func (s *scanner) escape() (printer bool) {
	s.pos++
	if s.pos >= len(s.text) {
		return false
	}
	switch c := s.text[s.pos]; {
	case c == '.':
		s.deviceControl()
	case c >= '!' && c <= '/':
		return s.printerControl()
	case c == 'E':
		s.step()
		return s.leadsBack()
	default:
		s.step()
	}
	return false
}

// deviceControl skips the rest of a device control, from its point on.
func (s *scanner) deviceControl() {
	s.pos++
	if s.pos >= len(s.text) {
		return
	}
	letter := s.text[s.pos]
	s.step()
	if strings.IndexByte("@HIMNPQSTU", letter) < 0 {
		return // it has no parameters
	}
	s.skipWhile(func(c byte) bool { return isDigit(c) || c == ';' || c == ' ' })
	if s.pos < len(s.text) && s.text[s.pos] == ':' {
		s.pos++
	}
}

// printerControl skips the rest of a printer's escape sequence, which ends with a
// large letter. ESC % and a number and A leads to the printer's language. After a number
// and W, and after that and X of ESC & p, as many bytes of a picture, a font or a text
// follow, whatever they are (PCL 5, chapter 2 and ESC & p # X; from memory).
func (s *scanner) printerControl() (printer bool) {
	start := s.pos
	s.skipWhile(func(c byte) bool { return (c < '@' || c > '^') && c != '\n' })
	if s.pos >= len(s.text) || s.text[s.pos] == '\n' {
		return false
	}
	said, letter := s.text[start:s.pos], s.text[s.pos]
	s.pos++
	if letter == 'W' || letter == 'X' && strings.HasPrefix(said, "&p") {
		n, _ := strconv.Atoi(said[strings.LastIndexFunc(said, func(r rune) bool { return r < '0' || r > '9' })+1:])
		for ; n > 0 && s.pos < len(s.text); n-- {
			s.step()
		}
	}
	return said[0] == '%' && letter == 'A'
}

// skipWhile skips bytes, none of which may be the end of a line.
func (s *scanner) skipWhile(skips func(c byte) bool) {
	for s.pos < len(s.text) && skips(s.text[s.pos]) {
		s.pos++
	}
}

// printed skips what is in a printer's language up to the ESC % and a number and
// B that leads back: PCL 5, chapter 18 (from memory).
func (s *scanner) printed() {
	for end := s.wayBack(); s.pos < end; {
		s.step()
	}
}

// wayBack returns where the next sequence stands that leads to HP-GL/2, or the end of the
// text.
func (s *scanner) wayBack() int {
	for at := s.pos; ; at += 2 {
		next := strings.Index(s.text[at:], "\x1b%")
		if next < 0 {
			return len(s.text)
		}
		at += next
		end := strings.IndexAny(s.text[at+2:min(len(s.text), at+12)], "ABX")
		if end >= 0 && s.text[at+2+end] == 'B' {
			return at
		}
	}
}

// leadsBack reports whether a printer's own language stands here: something other than
// blanks before a sequence that leads to HP-GL/2. The text is searched to its end once only.
func (s *scanner) leadsBack() bool {
	if s.noWayBack {
		return false
	}
	end := s.wayBack()
	if s.noWayBack = end == len(s.text); s.noWayBack {
		return false
	}
	return strings.TrimSpace(s.text[s.pos:end]) != ""
}
