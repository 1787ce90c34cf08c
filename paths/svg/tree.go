package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"weftplot/paths/bounded"
	"weftplot/paths/fault"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/source"
)

// node is one element of the file.
type node struct {
	name     string // local name; "" where it belongs to another vocabulary
	attrs    []xml.Attr
	parent   *node
	children []*node
	index    int // among the children of its parent
	line     int
	size     int   // bytes of its attributes
	said     *said // nil for nothing, as most elements have it
	state    css.State
	draws    answer  // see [draws]
	ahead    *sketch // of the shape, where it was drawn ahead; see [sketcher]
}

// said is the text that belongs to an element.
type said struct {
	text  []byte   // of a style element
	title string   // the text of a title element in it
	flow  []inline // the content of a text element, in order
}

// says returns the text that belongs to n.
func (n *node) says() said {
	if n.said == nil {
		return said{}
	}
	return *n.said
}

// saying returns where the text that belongs to n is kept.
func (n *node) saying() *said {
	if n.said == nil {
		n.said = &said{}
	}
	return n.said
}

// inline is a piece of text, or an element among the text.
type inline struct {
	text  string
	child *node
}

// textual are the elements whose characters can be drawn.
var textual = map[string]bool{
	"text": true, "tspan": true, "textPath": true, "a": true, "tref": true, "altGlyph": true,
	"flowRoot": true, "flowPara": true, "flowSpan": true, "flowLine": true, "flowDiv": true,
}

// answer is yes, no, or not yet known.
type answer uint8

const (
	unasked answer = iota
	no
	yes
)

const svgNamespace = "http://www.w3.org/2000/svg"

// attr returns the attribute without a namespace, "" when there is none.
func (n *node) attr(name string) string {
	v, _ := n.lookup(name)
	return v
}

// lookup returns the attribute without a namespace and whether there is one.
func (n *node) lookup(name string) (string, bool) {
	for _, a := range n.attrs {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value, true
		}
	}
	return "", false
}

// anyAttr returns the first attribute with this local name under any prefix.
func (n *node) anyAttr(local string) string {
	for _, a := range n.attrs {
		if a.Name.Local == local {
			return a.Value
		}
	}
	return ""
}

// href returns the id of the element of the same file that n refers to; ok is
// false when it refers to something else. The plain attribute takes precedence
// over the one with the xlink prefix (SVG 2, Linking).
func (n *node) href() (id string, ok bool) {
	v, plain := n.lookup("href")
	if !plain {
		v = n.anyAttr("href")
	}
	return strings.CutPrefix(strings.TrimSpace(v), "#")
}

// label returns the element's name with what people call it, else with its id, and
// the layer that it is in: "path #rose in layer \"Flowers\"".
func (n *node) label() string {
	text := n.name
	if label := n.peopleName(); label != "" {
		text += fmt.Sprintf(" %q", lex.Excerpt(label))
	} else if id := n.attr("id"); id != "" {
		text += " #" + id
	}
	for e := n.parent; e != nil; e = e.parent {
		if label := e.peopleName(); e.name == "g" && label != "" {
			return text + fmt.Sprintf(" in layer %q", lex.Excerpt(label))
		}
	}
	return text
}

// peopleName returns the name that a person gave to an element: its label, else its
// title; "" for none.
func (n *node) peopleName() string {
	if label := strings.TrimSpace(n.anyAttr("label")); label != "" {
		return label
	}
	return strings.TrimSpace(n.says().title)
}

// where names the file, the line and the element.
func (r *reader) where(n *node) string {
	if n == nil {
		return r.name
	}
	return fmt.Sprintf("%s, line %d, %s", r.name, n.line, n.label())
}

// parse reads the text into the tree of its elements. An error after the root
// has begun is noted, and what comes before it is kept.
func (r *reader) parse(text []byte) *fault.Error {
	d := xml.NewDecoder(bytes.NewReader(text))
	d.Strict = false
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	r.byID = map[string]*node{}
	t := treeBuilder{r: r}
	defer func() { r.sketches = t.sketches.finish() }()
	for {
		line, _ := d.InputPos()
		tok, err := d.Token()
		if err != nil {
			return t.finish(err)
		}
		switch tok := tok.(type) {
		case xml.ProcInst:
			if tok.Target == "xml-stylesheet" {
				r.notes.add(&node{name: "xml-stylesheet", line: line}, "style-sheet-not-read",
					"A style sheet outside the file is not read; lines may be drawn that it hides.")
			}
		case xml.StartElement:
			if bad := t.open(tok, line); bad != nil {
				return bad
			}
			r.elements = t.elements
			r.told(parsed*float64(d.InputOffset())/float64(len(text)), 0)
		case xml.EndElement:
			if t.at != nil {
				t.at, t.depth = t.at.parent, t.depth-1
			}
		case xml.CharData:
			t.chars(tok)
		}
	}
}

// maxAttrs bounds the attributes of one element, which are looked through
// whenever one is asked for; the standard knows fewer than 300.
const maxAttrs = 1000

// maxTitle bounds what is kept of an element's title, in bytes.
const maxTitle = 200

// treeBuilder holds the current place in the tree while it is built.
type treeBuilder struct {
	r        *reader
	at       *node
	depth    int
	elements int
	sketches *sketcher
}

func (t *treeBuilder) open(tok xml.StartElement, line int) *fault.Error {
	n := &node{attrs: tok.Attr, parent: t.at, line: line}
	if isSVG(tok.Name.Space) {
		n.name = tok.Name.Local
	}
	if t.r.root == nil {
		if n.name != "svg" {
			return fault.Bad(fmt.Sprintf("%s, line %d", t.r.name, line), "choose an SVG file",
				"it is not SVG: its first element is %q", tok.Name.Local)
		}
		t.r.root = n
	} else if t.at == nil {
		return nil // something after the end of the root
	}
	t.elements++
	t.depth++
	switch opt := t.r.opt; {
	case t.elements > opt.MaxElements:
		return bounded.TooMuch(t.r.where(n), "the file has more than %d elements, the most that are read", opt.MaxElements)
	case t.depth > opt.MaxDepth:
		return fault.Bad(t.r.where(n), "ungroup the drawing",
			"elements are nested more than %d deep, the most that is read", opt.MaxDepth)
	case len(n.attrs) > maxAttrs:
		return fault.Bad(t.r.where(n), "save the drawing again in a drawing program",
			"it has more than %d attributes, the most that are read", maxAttrs)
	}
	t.checkAttrs(n)
	if id := n.attr("id"); id != "" && n.name != "" && t.r.byID[id] == nil {
		t.r.byID[id] = n
	}
	if t.at != nil {
		n.index = len(t.at.children)
		t.at.children = append(t.at.children, n)
		if textual[t.at.name] {
			s := t.at.saying()
			s.flow = append(s.flow, inline{child: n})
		}
	}
	if t.at == nil {
		t.sketches = t.r.newSketcher()
	}
	t.sketches.add(n)
	t.at = n
	return nil
}

// isSVG reports whether elements of the namespace are SVG's: files without a
// namespace, with an undeclared prefix, or with the name in an entity from outside
// are common and clear enough.
func isSVG(space string) bool {
	return space == "" || space == svgNamespace || space == "svg" || strings.Contains(space, source.OutsideMark)
}

// checkAttrs sums the attributes' bytes and blanks those with an entity from
// outside the file, which would be read wrong without its text.
func (t *treeBuilder) checkAttrs(n *node) {
	for i, a := range n.attrs {
		n.size += len(a.Name.Local) + len(a.Value)
		if !strings.Contains(a.Value, source.OutsideMark) || a.Name.Space == "xmlns" || a.Name.Local == "xmlns" {
			continue
		}
		n.attrs[i].Value = ""
		if n.name != "" && a.Name.Space == "" {
			t.r.notes.add(n, "entity-not-expanded",
				"The attribute %s uses an entity whose text is outside the file and not read, so it counts as empty.", a.Name.Local)
		}
	}
}

// chars keeps the text of style sheets, and text that may be drawn.
func (t *treeBuilder) chars(text []byte) {
	if t.at == nil {
		return
	}
	if t.at.name != "" && bytes.Contains(text, []byte(source.OutsideMark)) {
		t.r.notes.add(t.at, "entity-not-expanded",
			"It uses an entity whose text is outside the file and not read, so whatever it would put here is not drawn.")
		text = bytes.ReplaceAll(text, []byte(source.OutsideMark), []byte(" "))
	}
	switch t.at.name {
	case "style":
		s := t.at.saying()
		s.text = append(s.text, text...)
	case "title":
		if up := t.at.parent; up != nil && len(up.says().title) < maxTitle {
			up.saying().title += string(text[:min(len(text), maxTitle)])
		}
	default:
		if textual[t.at.name] {
			s := t.at.saying()
			s.flow = append(s.flow, inline{text: string(text)})
		}
	}
}

// finish decides whether the way the reading ended is a fault.
func (t *treeBuilder) finish(err error) *fault.Error {
	line := 0
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		line = syntax.Line
	}
	switch {
	case t.r.root == nil:
		f := fault.Bad(t.r.name, "choose an SVG file", "it is not SVG: no svg element is found")
		f.Err = err
		return f
	case !errors.Is(err, io.EOF):
		t.r.notes.add(&node{name: "svg", line: line}, "file-damaged",
			"The file breaks off or is damaged here (%s); what stands before is drawn.", strings.TrimPrefix(err.Error(), "XML syntax error on "))
	}
	return nil
}
