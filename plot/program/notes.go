package program

import (
	"fmt"
	"strings"
	"unicode"

	"weftplot/paths"
	"weftplot/paths/label"
)

// kindsPerCode is how many different notes of one code a reader keeps. A broken
// file can have one on every line, and the first few are enough for a person.
const kindsPerCode = 20

// Noter collects a reader's notes about a text, in three classes: harmless notes,
// doubts, and what no machine may be given; see [Program]. It keeps each note
// once, with how often it occurred, and a bounded number for each code. The zero
// value is ready to use.
type Noter struct {
	notes []kept
	seen  map[string]int // the place in notes of each code and message
	codes map[string]int // how many notes are kept of each code
	over  map[string]int // how many of each code were not kept
}

// class is the list of a program in which a note belongs.
type class int

const (
	harmless class = iota
	doubt
	beyond
)

// kept is a note and how often it occurred.
type kept struct {
	Note
	class
	times, last int
}

// Add keeps a note. It only counts one that is already there, or whose code has
// many.
func (n *Noter) Add(code string, line int, format string, args ...any) {
	n.add(harmless, Note{Code: code, Line: line}, format, args)
}

// Doubt keeps a note about something that the reader does not wholly understand:
// the words as they are in the text, and why.
func (n *Noter) Doubt(code, words string, line int, format string, args ...any) {
	n.add(doubt, Note{Code: code, Line: line, Words: words}, format, args)
}

// DoubtAt is [Noter.Doubt] with a place, in mm in the machine frame.
func (n *Noter) DoubtAt(at paths.Point, code, words string, line int, format string, args ...any) {
	n.add(doubt, Note{Code: code, Line: line, At: &at, Words: words}, format, args)
}

// Beyond keeps a note about something that the text asks for and no machine may
// be given, with the place, in mm in the machine frame.
func (n *Noter) Beyond(at paths.Point, code string, line int, format string, args ...any) {
	n.add(beyond, Note{Code: code, Line: line, At: &at}, format, args)
}

// AddAt is [Noter.Add] for a note about a place, in mm in the machine frame.
func (n *Noter) AddAt(at paths.Point, code string, line int, format string, args ...any) {
	n.add(harmless, Note{Code: code, Line: line, At: &at}, format, args)
}

func (n *Noter) add(c class, note Note, format string, args []any) {
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
	note.Words = shown(note.Words)
	n.notes = append(n.notes, kept{note, c, 1, note.Line})
}

// shown returns words of a text as a person can see them, "" where there is nothing to see
// of them, such as control characters.
func shown(words string) string {
	if !strings.ContainsFunc(words, func(r rune) bool { return unicode.IsGraphic(r) && !unicode.IsSpace(r) }) {
		return ""
	}
	return label.Clean(words, label.Picture)
}

// Once keeps a note unless there is one of its code already.
func (n *Noter) Once(code string, line int, format string, args ...any) {
	if n.codes[code] == 0 {
		n.Add(code, line, format, args...)
	}
}

// Silent reports whether there was nothing to note.
func (n *Noter) Silent() bool { return len(n.notes) == 0 }

// Put sets the lists of a program to what was kept.
func (n *Noter) Put(p *Program) {
	p.Notes, p.Doubts, p.Beyond = n.list(harmless), n.list(doubt), n.list(beyond)
}

// list returns the kept notes of a class, in the order of adding; each says how
// often it occurred, and the last one of a code how many others there were.
func (n *Noter) list(c class) []Note {
	var out []Note
	of := map[string]int{}
	for _, k := range n.notes {
		if k.class != c {
			continue
		}
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
