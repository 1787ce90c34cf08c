package svg

import (
	"encoding/xml"
	"strings"

	"weftplot/paths/svg/css"
)

// The cascade sees a file's elements through these methods; see [css.Element].

// Name is the local name, "" where n belongs to another vocabulary.
func (n *node) Name() string { return n.name }

// Attrs are the attributes in the order of the file.
func (n *node) Attrs() []xml.Attr { return n.attrs }

// Size is how many bytes the attributes have.
func (n *node) Size() int { return n.size }

// State is where the cascade keeps what it has computed for n.
func (n *node) State() *css.State { return &n.state }

// Empty reports whether n holds nothing.
func (n *node) Empty() bool {
	s := n.says()
	return len(n.children) == 0 && len(s.text) == 0 && len(s.flow) == 0
}

// Parent returns the element that holds n. For the root it returns a nil
// interface, not a nil *node.
func (n *node) Parent() css.Element {
	if n.parent == nil {
		return nil
	}
	return n.parent
}

// Place returns the position of n among its siblings, and how many there are.
func (n *node) Place() (i, of int) {
	if n.parent == nil {
		return 0, 1
	}
	return n.index, len(n.parent.children)
}

// Sibling returns a sibling of n, or n itself, by its place.
func (n *node) Sibling(i int) css.Element { return n.parent.children[i] }

// Note records a note of the cascade.
func (r *reader) Note(e css.Element, code, message string) {
	r.notes.add(e.(*node), code, "%s", message)
}

// Halt ends the reading because the cascade reached a bound.
func (r *reader) Halt(e css.Element, message string) { r.halt(e.(*node), "%s", message) }

// addSheets reads every style sheet of the file, in order.
func (r *reader) addSheets() {
	var visit func(n *node)
	visit = func(n *node) {
		kind := n.attr("type")
		if n.name == "style" && (kind == "" || strings.EqualFold(kind, "text/css")) && css.ForScreen(n.attr("media")) {
			r.css.AddSheet(n, string(n.says().text))
			n.saying().text = nil
		}
		for _, c := range n.children {
			visit(c)
		}
	}
	visit(r.root)
}

// styleInPlace returns the style of n where it is defined, not where it is
// used.
func (r *reader) styleInPlace(n *node) css.Style {
	parent := css.Initial()
	if n.parent != nil {
		parent = r.styleInPlace(n.parent)
	}
	return r.css.Style(n, &parent)
}
