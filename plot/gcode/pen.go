package gcode

import "strings"

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
		if squeeze(line) != want {
			return 0
		}
		offset = next
	}
	if len(lines) == 0 {
		return 0
	}
	return offset
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
