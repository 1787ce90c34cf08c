package label

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is how many characters a line of a text may have.
const longest = 2000

// Text returns a text of several lines, which may have names from files in it,
// without characters that control anything or are not seen. Line ends and the
// blanks within lines stay; a line that is too long ends in an ellipsis. A text
// that is harmless comes back as it is.
func Text(text string) string {
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		lines[i] = shorten(strings.Map(func(r rune) rune {
			switch {
			case r == '\t':
				return r
			case steers(r):
				return -1
			}
			return r
		}, l[:min(len(l), 8*longest)]), longest)
	}
	return strings.Join(lines, "\n")
}

// Escape returns a JSON text with the characters escaped that would steer a
// terminal that shows it, or turn its direction. It means the same.
func Escape(json []byte) []byte {
	var out []byte
	for len(json) > 0 {
		r, n := utf8.DecodeRune(json)
		switch {
		case r == '\n' || r == '\t' || !steers(r):
			out = append(out, json[:n]...)
		case r > 0xffff:
			out = fmt.Appendf(out, `\u%04x\u%04x`, 0xd800+(r-0x10000)>>10, 0xdc00+(r-0x10000)&0x3ff)
		default:
			out = fmt.Appendf(out, `\u%04x`, r)
		}
		json = json[n:]
	}
	return out
}

// steers reports whether a character controls something instead of being seen.
func steers(r rune) bool {
	return unicode.IsControl(r) || unicode.In(r, unicode.Zl, unicode.Zp, unicode.Cf, unicode.Co)
}
