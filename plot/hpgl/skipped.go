package hpgl

// Instruction is where an item of a program's text stands: an instruction with
// its parameters and the semicolon that ends it, or an escape sequence.
type Instruction struct {
	Start, End int // byte offsets
	Line       int // of its first byte, from 1
}

// Instructions divides a text into its items, in order, by the rules that [Read]
// follows: a label lasts up to its terminator, which DT may have set, an encoded
// polyline up to its semicolon. Blanks and separators between two items are in
// neither; bytes that begin no instruction are an item, as is what stands in a
// printer's own language. No text is refused, and the cost is linear.
func Instructions(text []byte) []Instruction {
	var out []Instruction
	s := newScanner(string(text))
	strayed := false // the last item begins no instruction
	for {
		k, name := s.next()
		i := Instruction{Start: s.pos - len(name), Line: s.line}
		switch k {
		case atEnd:
			return out
		case separator:
			s.pos++
			continue
		case escape:
			if s.escape() {
				s.printed()
			}
		case printer:
			s.skipLine()
		case named:
			s.skip(name)
		case stray:
			s.pos++
			if n := len(out); n > 0 && out[n-1].End == i.Start && strayed {
				out[n-1].End = s.pos
				continue
			}
		}
		strayed = k == stray
		i.End = s.pos
		out = append(out, i)
	}
}

// skip skips the parameters of an instruction, its name already read, and reports
// whether a text among them ends.
func (s *scanner) skip(name string) (ends bool) {
	switch name {
	case "LB":
		s.through(s.terminator)
	case "DT":
		s.labelEnd()
	case "SM":
		s.symbol()
	case "PE":
		s.through(';')
	case "BL", "WD": // like labels, up to the terminator (from memory)
		return s.through(s.terminator)
	case "CO", "MG":
		return s.words()
	case "BP":
		return s.pairs()
	case "IN", "DF":
		s.numbers()
		s.terminator = etx
	default:
		s.numbers()
	}
	return true
}

// label skips a label, which ends at its terminator only: 7470A, 5-6.
func (r *reader) label() {
	r.doubt("label", "a label is not drawn")
	if !r.through(r.terminator) {
		r.doubt("unterminated-label", "the label does not end, and takes in the rest of the program")
	}
}

// skipText skips the parameters of an instruction with a text. One that does not end
// takes in the rest of the program, which is then not understood.
func (r *reader) skipText(name string) {
	if !r.skip(name) {
		r.doubt("unterminated-text", "the text of %s does not end, and takes in the rest of the program", name)
	}
}

// labelEnd takes the terminator that DT sets; NUL, ESC, LF, CR, ENQ and the
// semicolon cannot be one: 7470A, 5-7.
func (s *scanner) labelEnd() {
	s.terminator = etx
	if s.pos >= len(s.text) {
		return
	}
	switch c := s.text[s.pos]; c {
	case ';':
	case 0, 5, '\n', '\r', esc:
	default:
		s.terminator = c
		s.pos++
	}
	s.numbers()
}

// symbol skips the character that SM puts at each point, and reports whether
// there was one.
func (s *scanner) symbol() bool {
	given := s.pos < len(s.text) && s.text[s.pos] != ';'
	if given {
		s.step()
	}
	s.numbers()
	return given
}

// pairs skips the parameters of BP, pairs of a kind and a value, which may be a
// name in quotes, double or single, with anything in it (PCL 5, BP; from memory). It
// reports whether each name ends.
func (s *scanner) pairs() (end bool) {
	for s.numbers(); s.atQuote(); s.numbers() {
		if !s.quoted() {
			return false
		}
	}
	return true
}

func (s *scanner) atQuote() bool {
	return s.pos < len(s.text) && (s.text[s.pos] == '"' || s.text[s.pos] == '\'')
}

// quoted skips a text to the quote that it began with, and reports whether there is one.
func (s *scanner) quoted() bool {
	quote := s.text[s.pos]
	s.pos++
	return s.through(quote)
}

// words skips text in quotes or up to its semicolon, and reports whether it ends.
func (s *scanner) words() (end bool) {
	if s.skipSpace(); s.pos < len(s.text) && s.text[s.pos] == '"' {
		return s.quoted()
	}
	return s.through(';')
}
