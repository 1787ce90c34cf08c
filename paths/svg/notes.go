package svg

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/bounded"
)

// maxNotes bounds the notes of one design; further ones are only counted, but
// the first of each code is kept, so that no kind is missing.
const maxNotes = 200

// notebook collects notes, one for each element and code.
type notebook struct {
	list []paths.Note
	seen map[noteKey]bool
	kind map[string]bool
	more int
}

type noteKey struct {
	n    *node
	code string
}

// add notes something about n, once.
func (b *notebook) add(n *node, code, format string, args ...any) {
	key := noteKey{n, code}
	if b.seen[key] {
		return
	}
	if b.seen == nil {
		b.seen, b.kind = map[noteKey]bool{}, map[string]bool{}
	}
	b.seen[key] = true
	if len(b.list) >= maxNotes && b.kind[code] {
		b.more++
		return
	}
	b.kind[code] = true
	b.list = append(b.list, paths.Note{Code: code, Element: n.label(), Line: n.line, Message: fmt.Sprintf(format, args...)})
}

// all returns the notes in the order of the file.
func (b *notebook) all() []paths.Note {
	return bounded.InOrder(b.list, b.more, "And %d more like these.")
}
