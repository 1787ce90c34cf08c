package dxf

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/bounded"
)

// maxNotes bounds the notes of one design, and maxPlaces the places of one note.
const (
	maxNotes  = 200
	maxPlaces = 12
)

// notebook collects notes, one for each key, and counts how often each applies.
type notebook struct {
	list  []*tally
	byKey map[string]*tally
	more  int
}

type tally struct {
	note paths.Note
	n    int
	say  func(n int) string
}

// add counts something under a key. The note of the first is kept with the places of
// all, and say completes it with how many there were.
func (b *notebook) add(key string, first paths.Note, say func(n int) string) {
	if t := b.byKey[key]; t != nil {
		if t.n++; len(t.note.Places) < maxPlaces {
			t.note.Places = append(t.note.Places, first.Places...)
		}
		return
	}
	if len(b.list) >= maxNotes {
		b.more++
		return
	}
	if b.byKey == nil {
		b.byKey = map[string]*tally{}
	}
	first.Places = slices.Clip(first.Places)
	t := &tally{first, 1, say}
	b.byKey[key] = t
	b.list = append(b.list, t)
}

// all returns the notes in the order of the file.
func (b *notebook) all() []paths.Note {
	var out []paths.Note
	for _, t := range b.list {
		n := t.note
		n.Message = t.say(t.n)
		out = append(out, n)
	}
	return bounded.InOrder(out, b.more, "And %d more remarks.")
}

// note adds a note about an entity, once however often it is copied.
func (r *reader) note(e *entity, code string, say func(n int) string) {
	if e.noted {
		return
	}
	e.noted = true
	r.notes.add(code+" "+e.kind, paths.Note{Code: code, Element: e.kind, Line: e.line, Places: r.placesOf(e, say(1))}, say)
}

// placesOf returns the place of an entity that a note is about, if it is known.
func (r *reader) placesOf(e *entity, message string) []paths.NotePlace {
	if e.at == nil {
		return nil
	}
	at := r.here.apply(*e.at).fromAbove()
	if !at.IsFinite() || max(math.Abs(at.X), math.Abs(at.Y)) > farthest {
		return nil
	}
	return []paths.NotePlace{{At: at, Element: e.kind, Line: e.line, Message: message}}
}

// are returns "1 THING is" or "N THING are".
func are(n int, thing string) string {
	if n == 1 {
		return "1 " + thing + " is"
	}
	return fmt.Sprintf("%d %s are", n, thing)
}
