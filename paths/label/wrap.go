package label

import (
	"strings"
	"unicode/utf8"
)

// Columns is how wide a line of text for a person is at most: a terminal and a sheet
// have 80, and nothing stands at the very edge.
const Columns = 78

// Wrap breaks text between words into lines of at most width characters, the first one
// after first and the others after rest. A word that is wider than that is cut. Every
// line ends in a line feed and has no blanks before it.
func Wrap(text, first, rest string, width int) string {
	var b strings.Builder
	line, empty := first, true
	room := func() int { return width - utf8.RuneCountInString(line) }
	flush := func() {
		b.WriteString(strings.TrimRight(line, " ") + "\n")
		line, empty = rest, true
	}
	for _, word := range strings.Fields(text) {
		if !empty && 1+utf8.RuneCountInString(word) > room() {
			flush()
		}
		if !empty {
			line += " "
		}
		for n := max(1, room()); utf8.RuneCountInString(word) > n; n = max(1, room()) {
			runes := []rune(word)
			line, word = line+string(runes[:n]), string(runes[n:])
			flush()
		}
		line, empty = line+word, false
	}
	flush()
	return b.String()
}

// Fit wraps a line that is wider than width, the others beginning under what stands
// after its label: a word or two and blanks before column 20, or a mark such as "- ".
func Fit(line string, width int) string {
	if utf8.RuneCountInString(line) <= width {
		return line + "\n"
	}
	head := headOf(line)
	return Wrap(line[len(head):], head, strings.Repeat(" ", utf8.RuneCountInString(head)), width)
}

// headOf returns what stands before the text of a line: blanks, and a label that two
// blanks or more part from the text.
func headOf(line string) string {
	indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
	const farthest = 20
	if i := strings.Index(line[len(indent):], "  "); i > 0 {
		end := len(indent) + i
		end += len(line[end:]) - len(strings.TrimLeft(line[end:], " "))
		if utf8.RuneCountInString(line[:end]) <= farthest {
			return line[:end]
		}
	}
	return indent
}
