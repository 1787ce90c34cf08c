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
	if !r.commented && r.header(text) {
		return
	}
	r.commented = true
	r.flush()
	if n, ok := r.penNumber(text); ok {
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

// The form of comments before they had a version: these were ours by their words
// alone.
const (
	oldMadeFor = "weftplot program for machine "
	oldPenWord = "pen "
)

// header takes in the comment that a program of ours begins with, and reports
// whether it is one. Nothing may stand before it.
func (r *reader) header(text string) bool {
	for _, form := range []struct{ madeFor, penWord string }{{madeFor, penWord}, {oldMadeFor, oldPenWord}} {
		if name, ok := strings.CutPrefix(text, form.madeFor); ok && r.legal == 0 && len(r.out.Blocks) == 0 {
			r.commented, r.out.Machine, r.penWord = true, strings.TrimSpace(name), form.penWord
			return true
		}
	}
	return false
}

// penNumber reads the comment that names a pen, in a program of ours.
func (r *reader) penNumber(text string) (int, bool) {
	digits, ok := strings.CutPrefix(text, r.penWord)
	if r.penWord == "" || !ok || digits == "" || len(digits) > 4 {
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
	if r.w.computed || len(r.w.settings) > 0 {
		r.doubt("computed", "a parameter or an expression (#, [ ]) is left for the machine to work out, and small ones cannot")
	}
}
