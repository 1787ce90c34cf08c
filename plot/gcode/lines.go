package gcode

import "strings"

// Line is where a line of a program's text stands, with the byte that ends it.
type Line struct {
	Start, End int // byte offsets
	Number     int // from 1
}

// Lines returns the lines of a text that a controller has to be given, in order:
// those with a word or a parameter that is set. Lines that are blank, or hold
// nothing but comments, a number or the percent sign that brackets a program, are
// left out, and so is what stands after the end of the program, as [Read] leaves
// it out. No text is refused: a line that cannot be read is one of them. The cost
// is linear in the length of the text.
func Lines(text string) []Line {
	var out []Line
	var w words
	vars := parameters{}
	percents, anything := 0, false
	start := 0
	if strings.HasPrefix(text, byteOrderMark) {
		start = len(byteOrderMark)
	}
	for number := 1; start < len(text); number++ {
		line, next := lineAt(text, start)
		l := Line{start, next, number}
		start = next
		if w.parse(line, vars) != nil {
			out, anything = append(out, l), true
			continue
		}
		if w.percent {
			if percents++; percents == 2 || anything {
				return out
			}
		}
		anything = anything || strings.TrimSpace(line) != ""
		for _, s := range w.settings {
			vars[s.number] = s.value
		}
		if w.any() || len(w.settings) > 0 {
			out = append(out, l)
		}
		if !w.percent && w.ends() {
			return out
		}
	}
	return out
}

// ends reports whether the line ends the program.
func (w *words) ends() bool {
	for _, m := range w.m {
		if m == m2 || m == m30 {
			return true
		}
	}
	return false
}

// OnlyPauses reports whether a line of a program does nothing but wait for the
// person: one M word that pauses and comments, so that whoever asks the person
// instead of sending the line loses nothing. A line that cannot be read does not.
func OnlyPauses(line string) bool {
	var w words
	if w.parse(strings.TrimSuffix(line, "\n"), nil) != nil || len(w.g) > 0 || len(w.m) != 1 || w.has != [26]bool{} || len(w.settings) > 0 {
		return false
	}
	switch w.m[0] {
	case m0, m1, m60:
		return true
	}
	return false
}
