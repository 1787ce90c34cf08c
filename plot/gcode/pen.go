package gcode

import (
	"strings"
	"unicode/utf8"
)

// SameLine reports whether two lines without comments say the same in the same order,
// however they are written: with line numbers, blanks and zeros before a point, or
// without.
func SameLine(a, b string) bool { return squeeze(a) == squeeze(b) }

// squeeze brings a line without comments to one form: no line number, no white
// space, no zeros before a point, large letters.
func squeeze(line string) string {
	line = strings.ToUpper(strings.Join(strings.Fields(line), ""))
	if strings.HasPrefix(line, "N") {
		line = strings.TrimLeft(line[1:], "0123456789")
	}
	return withoutZeros(line)
}

// penLines recognises the profile's lines for a pen move at offset and takes
// them in as one. It returns where they end, 0 when they do not stand there.
func (r *reader) penLines(text string, offset int) int {
	for _, down := range []bool{true, false} {
		lines := r.pen.up
		if down {
			lines = r.pen.down
		}
		if end := matches(text, offset, lines); end > 0 {
			r.anything = true
			r.ownDown, r.ownUp = r.ownDown || down, r.ownUp || !down
			first := r.line
			r.lines(text, offset, end)
			last := r.line
			r.legal++
			r.line, r.end = first, end
			r.lift(down)
			r.line = last
			return end
		}
	}
	return 0
}

// matches returns where the lines end when they stand at offset, else 0.
func matches(text string, offset int, lines []string) int {
	for _, want := range lines {
		if offset >= len(text) || !mayBe(text[offset], want) {
			return 0
		}
		line, next := lineAt(text, offset)
		if !says(line, want) {
			return 0
		}
		offset = next
	}
	if len(lines) == 0 {
		return 0
	}
	return offset
}

// says reports whether a line, once it is squeezed, is the one that is wanted.
func says(line, want string) bool {
	if !isASCII(line) {
		return squeeze(line) == want
	}
	before, at := byte(0), 0 // the byte before, blanks apart, and how much of want is seen
	for i := range len(line) {
		c := line[i]
		switch {
		case at == 0 && c|0x20 == 'n': // a line number
			return squeeze(line) == want
		case c == ' ' || '\t' <= c && c <= '\r':
			continue
		case c == '0' && beginsNumber(before) && pointAfter(line[i+1:]):
			before = c
			continue
		case 'a' <= c && c <= 'z':
			c &^= 0x20
		}
		if at == len(want) || want[at] != c {
			return false
		}
		before, at = c, at+1
	}
	return at == len(want)
}

func isASCII(text string) bool {
	for i := range len(text) {
		if text[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// beginsNumber reports whether a digit after a byte is the first of a number.
func beginsNumber(before byte) bool { return !isDigit(before) && before != '.' }

// pointAfter reports whether a point is what comes next but for blanks.
func pointAfter(text string) bool {
	text = strings.TrimLeft(text, " \t\n\v\f\r")
	return text != "" && text[0] == '.'
}

// mayBe looks at the first byte, so that most lines are not squeezed.
func mayBe(first byte, want string) bool {
	return isSpace(first) || first|0x20 == 'n' || want != "" && first&^0x20 == want[0]&^0x20
}

// lines lets the pen lines set the modes and the height without moving the pen:
// where they leave it is known.
func (r *reader) lines(text string, offset, end int) {
	blocks, down := len(r.out.Blocks), r.penDown
	at := r.at
	r.own = true
	defer func() { r.own = false }()
	for first := true; offset < end; first = false {
		line, next := lineAt(text, offset)
		if !first {
			r.line++
		}
		offset = next
		_ = r.read(line) // [CheckPenLines] judges the lines of a profile
	}
	r.out.Blocks, r.penDown, r.at = r.out.Blocks[:blocks], down, at
}
