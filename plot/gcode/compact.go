package gcode

import "strings"

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
