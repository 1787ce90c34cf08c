package gcode

import (
	"strings"

	"weftplot/plot/program"
)

// comment keeps a comment: the machine's name, a pen, a message for the pause
// that follows, or a remark.
func (r *reader) comment(text string) {
	text = strings.ToValidUTF8(strings.TrimSpace(text), "_")
	if text == "" {
		return
	}
	if name, ok := strings.CutPrefix(text, strings.TrimSpace(madeFor)); ok && len(r.out.Blocks) == 0 && r.out.Machine == "" {
		r.out.Machine = strings.TrimSpace(name)
		return
	}
	r.flush()
	if n, ok := penNumber(text); ok {
		r.add(program.Block{Kind: program.Pen, Number: n})
		return
	}
	if len(text) >= 4 && strings.EqualFold(text[:4], "MSG,") {
		r.message = strings.TrimSpace(text[4:])
		return
	}
	r.add(program.Block{Kind: program.Remark, Text: text})
}

// flush makes a message that no pause took a remark.
func (r *reader) flush() {
	if r.message != "" {
		r.add(program.Block{Kind: program.Remark, Text: r.message})
		r.message = ""
	}
}

// penNumber reads our own "pen N".
func penNumber(text string) (int, bool) {
	digits, ok := strings.CutPrefix(text, penWord)
	if !ok || digits == "" || len(digits) > 4 {
		return 0, false
	}
	n := 0
	for _, c := range []byte(digits) {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	return n, true
}

// reportForm notes what the line has that the standard has not.
func (r *reader) reportForm() {
	if r.w.open {
		r.doubt("open-comment", "a comment does not end on its line; a machine may take in the words")
	}
	if r.w.nested {
		r.doubt("nested-comment", "a comment holds another; machines differ in where it ends")
	}
	if r.w.checksum {
		r.doubt("checksum", "a star and a checksum are not of the language")
	}
	if n := r.w.unset; n != 0 {
		r.doubt("unset-parameter", "#%d is used and the program does not set it; what it is, only the machine knows", n)
	}
}
