package svg

import (
	"fmt"
	"strings"

	"weftplot/paths"
	"weftplot/paths/bounded"
	"weftplot/paths/svg/css"
)

// Of each kind of note so many elements are told by their line, and by their place.
const (
	maxNoteLines  = 8
	maxNotePlaces = 12
)

// notebook collects notes, one for each element and code, and rolls those of one
// code up into one.
type notebook struct {
	list   []*noteKind
	byCode map[string]*noteKind
	seen   map[noteKey]bool
}

type noteKey struct {
	n    *node
	code string
}

// noteKind is all that is noted under one code.
type noteKind struct {
	code  string
	noted []noted // the first few
	count int
}

type noted struct {
	n       *node
	message string
}

// add notes something about n, once.
func (b *notebook) add(n *node, code, format string, args ...any) {
	key := noteKey{n, code}
	if b.seen[key] {
		return
	}
	if b.seen == nil {
		b.seen, b.byCode = map[noteKey]bool{}, map[string]*noteKind{}
	}
	b.seen[key] = true
	k := b.byCode[code]
	if k == nil {
		k = &noteKind{code: code}
		b.byCode[code] = k
		b.list = append(b.list, k)
	}
	if k.count++; k.count <= max(maxNoteLines+1, maxNotePlaces) {
		k.noted = append(k.noted, noted{n, fmt.Sprintf(format, args...)})
	}
}

// all returns the notes, the most serious first. place tells where an element is.
func (b *notebook) all(place func(*node) (paths.Point, bool)) []paths.Note {
	var out []paths.Note
	for _, k := range b.list {
		first := k.noted[0]
		n := paths.Note{Code: k.code, Element: first.n.label(), Line: first.n.line, Message: first.message}
		if k.count > 1 {
			n.More = fmt.Sprintf("The same goes for %s%s.", count(k.count-1, "more element", "more elements"), k.lines())
		}
		if !nowhere[k.code] {
			for _, e := range k.noted[:min(len(k.noted), maxNotePlaces)] {
				if at, ok := place(e.n); ok {
					n.Places = append(n.Places, paths.NotePlace{At: at, Element: e.n.label(), Line: e.n.line, Message: e.message})
				}
			}
		}
		out = append(out, n)
	}
	return bounded.InOrder(out, 0, "")
}

// lines says on which lines the elements after the first are.
func (k *noteKind) lines() string {
	var list []string
	for _, e := range k.noted[1:] {
		text := fmt.Sprint(e.n.line)
		if m := len(list); m == 0 || list[m-1] != text {
			list = append(list, text)
		}
	}
	list = list[:min(len(list), maxNoteLines)]
	switch {
	case len(list) == 1 && list[0] == fmt.Sprint(k.noted[0].n.line):
		return ""
	case k.count-1 > len(list):
		return ", the next on line " + strings.Join(list, ", ")
	}
	return " on line " + strings.Join(list, ", ")
}

// nowhere are the kinds of notes about the file as a whole, which name the first
// element only as an example.
var nowhere = map[string]bool{
	"fills-as-outlines": true, "fills-united": true, "fills-not-united": true, "no-paint": true, "paper-not-drawn": true,
	"size-in-pixels": true, "outside-page": true, "file-damaged": true,
}

// placeOf returns the middle of what an element draws where it stands in the file, in
// page mm, y down. ok is false for one that is drawn only through a reference, or
// within an inner picture.
func (r *reader) placeOf(n *node, pg page) (at paths.Point, ok bool) {
	if n.parent == nil || r.stop != nil {
		return at, false
	}
	m := paths.Identity()
	for e := n; e != r.root; e = e.parent {
		if e == nil || e.name == "" || undrawn[e.name] || e.name == "svg" {
			return at, false
		}
		m = m.Then(r.transform(e, pg.view))
	}
	m = m.Then(pg.m)
	box := paths.EmptyRect()
	switch n.name {
	case "text", "image", "foreignObject":
		box = n.placed(pg.view)
		box = paths.RectOf(m.Apply(box.Min), m.Apply(box.Max))
	default:
		left, visits, bytes := r.left, r.visits, r.bytes
		box = r.boxOf(n, m, pg.view, 0)
		r.left, r.visits, r.bytes, r.stop = left, visits, bytes, nil // looking costs nothing
	}
	at = box.Centre()
	return at, !box.IsEmpty() && at.IsFinite()
}

// placed returns the box that x, y, width and height give, in user units.
func (n *node) placed(v view) paths.Rect {
	first := func(name string) css.Length {
		f := strings.FieldsFunc(n.geometry(name), func(c rune) bool { return strings.ContainsRune(", \t\r\n\f", c) })
		if len(f) == 0 {
			return css.Length{}
		}
		l, _ := css.ParseLength(f[0])
		return l
	}
	at := paths.Point{X: v.x(first("x")), Y: v.y(first("y"))}
	return paths.RectOf(at, at.Add(paths.Point{X: v.x(first("width")), Y: v.y(first("height"))}))
}
