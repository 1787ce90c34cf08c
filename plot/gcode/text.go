package gcode

import (
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// decimal writes n·10^-places without trailing zeros: 12500, 3 is "12.5".
func decimal(n int64, places int) string { return string(appendDecimal(nil, n, places, false)) }

// appendDecimal is [decimal] put after what b holds; a bare number has no zero before its
// point.
func appendDecimal(b []byte, n int64, places int, bare bool) []byte {
	size := uint64(n)
	if n < 0 {
		b, size = append(b, '-'), -size
	}
	per := uint64(1)
	for range places {
		per *= 10
	}
	whole, rest := size/per, size%per
	if whole > 0 || rest == 0 || !bare {
		b = strconv.AppendUint(b, whole, 10)
	}
	if rest == 0 {
		return b
	}
	b = append(b, '.')
	for per /= 10; rest > 0; per /= 10 {
		b = append(b, byte('0'+rest/per))
		rest %= per
	}
	return b
}

// plain makes text fit for a comment: plain characters on one line, accents
// taken off.
func plain(text string) string {
	var b strings.Builder
	for _, r := range norm.NFD.String(text) {
		if s, ok := inComment[r]; ok {
			b.WriteString(s)
			continue
		}
		switch {
		case unicode.Is(unicode.Mn, r):
		case r <= ' ':
			b.WriteByte(' ')
		case r < 127:
			b.WriteRune(r)
		default:
			b.WriteByte('_')
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// inComment is what stands for a character that a comment cannot hold, or that
// has a plain one like it. Round brackets would end the comment, a semicolon
// opens another kind, a percent sign ends a program, and small controllers act on
// "!", "~" and "?" wherever they stand (common practice).
var inComment = map[rune]string{
	'(': "[", '{': "[", ')': "]", '}': "]",
	';': ",", '!': ".", '?': ".", '%': "pct", '~': "-",
	'\u201c': `"`, '\u201d': `"`, '\u201e': `"`, '\u00ab': `"`, '\u00bb': `"`,
	'\u2018': "'", '\u2019': "'", '\u2013': "-", '\u2014': "-", '\u00d7': "x",
}

// cut returns at most n characters of plain text.
func cut(s string, n int) string {
	if len(s) > n {
		return s[:n-3] + "..."
	}
	return s
}

// wrap cuts plain text into parts of at most n characters, between words where
// it can.
func wrap(s string, n int) []string {
	var out []string
	for len(s) > n {
		at := strings.LastIndexByte(s[:n+1], ' ')
		if at <= 0 {
			at = n
		}
		out = append(out, s[:at])
		s = strings.TrimSpace(s[at:])
	}
	if s != "" {
		out = append(out, s)
	}
	return out
}

// words returns words of G-code as the machine wants them: as they are, or without blanks
// and zeros before a point where its profile asks for compact programs. By NISTIR 6556,
// neither changes anything outside comments: 3.3.1 and 3.3.2.1.
func (w *writer) words(line string) string {
	if !w.m.GCode.Compact {
		return line
	}
	return withoutZeros(strings.Join(strings.Fields(line), ""))
}

// withoutZeros leaves out of words without blanks each zero that a number has before its
// point.
func withoutZeros(words string) string {
	if !strings.Contains(words, "0.") {
		return words
	}
	var b strings.Builder
	for i := range len(words) {
		if words[i] == '0' && i+1 < len(words) && words[i+1] == '.' && (i == 0 || !isDigit(words[i-1]) && words[i-1] != '.') {
			continue
		}
		b.WriteByte(words[i])
	}
	return b.String()
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// number writes n·10^-places as [decimal] does, and in a compact program without the zero
// before the point: by NISTIR 6556, 3.3.2.1, a number has zero or more digits there.
func (w *writer) number(n int64, places int) string {
	return string(appendDecimal(nil, n, places, w.m.GCode.Compact))
}

// appendWord puts a letter and a number as [writer.number] has it after what b holds.
func (w *writer) appendWord(b []byte, letter byte, n int64, places int) []byte {
	return appendDecimal(append(b, letter), n, places, w.m.GCode.Compact)
}
