package program

import (
	"fmt"

	"weftplot/paths"
)

// kindsPerCode is how many different notes of one code a reader keeps. A broken
// file can have one on every line, and the first few are enough for a person.
const kindsPerCode = 20

// Noter collects a reader's notes: each once, with how often it occurred, and a
// bounded number of each code. The zero value is ready to use.
type Noter struct {
	notes []kept
	seen  map[string]int // the place in notes of each code and message
	codes map[string]int // how many notes are kept of each code
	over  map[string]int // how many of each code were not kept
}

// kept is a note and how often it came.
type kept struct {
	Note
	times, last int
}

// Add keeps a note, or counts it when it is there already or there are many of
// its code.
func (n *Noter) Add(code string, line int, format string, args ...any) {
	n.add(Note{Code: code, Line: line}, format, args)
}

// AddAt keeps a note about a place, in mm as the machine counts.
func (n *Noter) AddAt(at paths.Point, code string, line int, format string, args ...any) {
	n.add(Note{Code: code, Line: line, At: &at}, format, args)
}

func (n *Noter) add(note Note, format string, args []any) {
	if n.seen == nil {
		n.seen, n.codes, n.over = map[string]int{}, map[string]int{}, map[string]int{}
	}
	note.Message = fmt.Sprintf(format, args...)
	key := note.Code + " " + note.Message
	if i, ok := n.seen[key]; ok {
		n.notes[i].times, n.notes[i].last = n.notes[i].times+1, note.Line
		return
	}
	if n.codes[note.Code] == kindsPerCode {
		n.over[note.Code]++
		return
	}
	n.codes[note.Code]++
	n.seen[key] = len(n.notes)
	n.notes = append(n.notes, kept{note, 1, note.Line})
}

// Once keeps a note unless there is one of its code already.
func (n *Noter) Once(code string, line int, format string, args ...any) {
	if n.codes[code] == 0 {
		n.Add(code, line, format, args...)
	}
}

// Notes returns what was kept, in the order of adding; each says how often it
// came, and the last one of a code how many others there were.
func (n *Noter) Notes() []Note {
	var out []Note
	of := map[string]int{}
	for _, k := range n.notes {
		if k.times > 1 {
			k.Message += fmt.Sprintf(" (%d times, last on line %d)", k.times, k.last)
		}
		of[k.Code]++
		if more := n.over[k.Code]; more > 0 && of[k.Code] == kindsPerCode {
			k.Message += fmt.Sprintf(" (and %d more like this)", more)
		}
		out = append(out, k.Note)
	}
	return out
}
