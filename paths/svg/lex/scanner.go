// Package lex reads the small languages in the attributes of SVG and in CSS:
// numbers and lists of them, blanks, commas and flags. It works on text in
// memory, byte by byte, in time that grows with its length. It is not a
// tokenizer for style sheets: package css reads their strings, comments and
// brackets.
package lex

import (
	"math"
	"strconv"
	"strings"
)

// Scanner reads a text from its front. Its zero value is at the end of an empty
// text.
type Scanner struct {
	Text string
	At   int // the index of the next byte
}

// IsSpace reports whether c is a blank of SVG and CSS.
func IsSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }

// IsDigit reports whether c is a decimal digit.
func IsDigit(c byte) bool { return '0' <= c && c <= '9' }

// Done reports whether the scanner is at the end.
func (s *Scanner) Done() bool { return s.At >= len(s.Text) }

// Peek returns the next byte, 0 at the end.
func (s *Scanner) Peek() byte {
	if s.Done() {
		return 0
	}
	return s.Text[s.At]
}

// Space skips blanks.
func (s *Scanner) Space() {
	for !s.Done() && IsSpace(s.Text[s.At]) {
		s.At++
	}
}

// Comma skips blanks with at most one comma among them, and reports whether
// there was one.
func (s *Scanner) Comma() bool {
	s.Space()
	if s.Peek() != ',' {
		return false
	}
	s.At++
	s.Space()
	return true
}

func (s *Scanner) digits() int {
	from := s.At
	for !s.Done() && IsDigit(s.Text[s.At]) {
		s.At++
	}
	return s.At - from
}

func (s *Scanner) sign() {
	if c := s.Peek(); c == '+' || c == '-' {
		s.At++
	}
}

// Number reads a number: sign, digits with a point anywhere, exponent (SVG 2,
// Paths, grammar; "1." is SVG 1.1's). It stops at the first byte that cannot
// continue the number, so that "1.5.5" is two. A number too large is infinite;
// callers check with [Finite].
func (s *Scanner) Number() (float64, bool) {
	from := s.At
	s.sign()
	n := s.digits()
	if s.Peek() == '.' {
		s.At++
		n += s.digits()
	}
	if n == 0 {
		s.At = from
		return 0, false
	}
	if mark := s.At; s.Peek() == 'e' || s.Peek() == 'E' {
		s.At++
		s.sign()
		if s.digits() == 0 {
			s.At = mark // the e of "em"
		}
	}
	v, err := strconv.ParseFloat(s.Text[from:s.At], 64)
	return v, err == nil || math.IsInf(v, 0)
}

// AtNumber reports whether a number can begin here.
func (s *Scanner) AtNumber() bool {
	c := s.Peek()
	return IsDigit(c) || c == '+' || c == '-' || c == '.'
}

// Flag reads the 0 or 1 of an arc, which needs nothing after it.
func (s *Scanner) Flag() (bool, bool) {
	c := s.Peek()
	if c != '0' && c != '1' {
		return false, false
	}
	s.At++
	return c == '1', true
}

// Numbers reads a whole list; ok is false when something else is in it.
func Numbers(text string) (list []float64, ok bool) {
	s := Scanner{Text: text}
	for s.Space(); !s.Done(); {
		v, ok := s.Number()
		if !ok || !Finite(v) {
			return list, false
		}
		list = append(list, v)
		if s.Comma() && s.Done() {
			return list, false
		}
	}
	return list, true
}

// Finite reports whether v is neither infinite nor NaN.
func Finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// IsLetter reports whether c is a letter of ASCII.
func IsLetter(c byte) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }

// HexValue returns the value of a hexadecimal digit, -1 for anything else.
func HexValue(c byte) int {
	switch {
	case IsDigit(c):
		return int(c - '0')
	case 'a' <= c|0x20 && c|0x20 <= 'f':
		return int(c|0x20-'a') + 10
	}
	return -1
}

// Excerpt cuts a text from a file short enough for a message.
func Excerpt(s string) string {
	s = strings.Join(strings.Fields(s[:min(len(s), 200)]), " ")
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
