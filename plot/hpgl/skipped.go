package hpgl

// label skips a label, which ends at its terminator only: 7470A, 5-6.
func (r *reader) label() {
	r.notes.Add("label", r.startLine, "a label is not drawn")
	if !r.through(r.terminator) {
		r.notes.Add("unterminated-label", r.startLine, "the label does not end, and takes in the rest of the program")
	}
}

// labelEnd takes the terminator that DT sets; NUL, ESC, LF, CR, ENQ and the
// semicolon cannot be one: 7470A, 5-7.
func (r *reader) labelEnd() {
	r.terminator = etx
	if r.pos >= len(r.text) {
		return
	}
	switch c := r.text[r.pos]; c {
	case ';':
	case 0, 5, '\n', '\r', esc:
	default:
		r.terminator = c
		r.pos++
	}
	r.params = r.numbers(r.params[:0])
}

// symbol skips the character that SM puts at each point.
func (r *reader) symbol() {
	if r.pos < len(r.text) && r.text[r.pos] != ';' {
		r.notes.Add("not-drawn", r.startLine, "symbols at the points are not drawn")
		r.step()
	}
	r.params = r.numbers(r.params[:0])
}

// words skips an instruction with text in quotes or up to its semicolon.
func (r *reader) words(name string) {
	r.notes.Add("not-drawn", r.startLine, "the text of %s is not drawn", name)
	if r.skipSpace(); r.pos < len(r.text) && r.text[r.pos] == '"' {
		r.pos++
		r.through('"')
		return
	}
	r.through(';')
}
