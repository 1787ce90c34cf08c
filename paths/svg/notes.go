package svg

import (
	"fmt"
	"slices"

	"weftplot/paths"
)

// maxNotes bounds the notes of one design; what goes beyond is counted, but the
// first of each code is kept, so that no kind of thing is missing.
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
	out := slices.Clone(b.list)
	slices.SortStableFunc(out, func(a, c paths.Note) int { return a.Line - c.Line })
	if b.more > 0 {
		out = append(out, paths.Note{Code: "more-notes", Message: fmt.Sprintf("And %d more like these.", b.more)})
	}
	return out
}

// first returns the message of the first thing that was not drawn, for the
// advice of a file with nothing else in it.
func (b *notebook) first() string {
	for _, n := range b.all() {
		if n.Code != "size-in-pixels" && n.Code != "no-paint" {
			return fmt.Sprintf("line %d, %s: %s", n.Line, n.Element, n.Message)
		}
	}
	return ""
}
