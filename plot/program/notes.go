package program

import "fmt"

// notesPerCode bounds how many notes of one code a reader keeps: the first few
// tell a person what is going on, and a broken file has one on every line.
const notesPerCode = 20

// Noter gathers a reader's notes, a bounded number of each code. The zero value
// is ready.
type Noter struct {
	notes []Note
	count map[string]int
}

// Add keeps a note, or counts it when there are many of its code already.
func (n *Noter) Add(code string, line int, format string, args ...any) {
	if n.count == nil {
		n.count = map[string]int{}
	}
	n.count[code]++
	if n.count[code] <= notesPerCode {
		n.notes = append(n.notes, Note{Code: code, Line: line, Message: fmt.Sprintf(format, args...)})
	}
}

// Once keeps a note unless there is one of its code already.
func (n *Noter) Once(code string, line int, format string, args ...any) {
	if n.count[code] == 0 {
		n.Add(code, line, format, args...)
	}
}

// Notes returns what was kept, in the order of adding; the last note kept of a
// code says how many more there were.
func (n *Noter) Notes() []Note {
	out := append([]Note(nil), n.notes...)
	seen := map[string]int{}
	for i, note := range out {
		seen[note.Code]++
		if more := n.count[note.Code] - notesPerCode; more > 0 && seen[note.Code] == notesPerCode {
			out[i].Message += fmt.Sprintf(" (and %d more like this)", more)
		}
	}
	return out
}
