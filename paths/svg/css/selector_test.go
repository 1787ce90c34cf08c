package css

import (
	"encoding/xml"
	"strings"
	"testing"

	"github.com/andybalholm/cascadia"
	"golang.org/x/net/html"
	"pgregory.net/rapid"

	_ "weftplot/paths/samecases"
)

// item is an element of a test's tree.
type item struct {
	name     string
	attrs    []xml.Attr
	parent   *item
	children []*item
	index    int
	state    State
}

func (e *item) Name() string          { return e.name }
func (e *item) Attrs() []xml.Attr     { return e.attrs }
func (e *item) Size() int             { return len(e.attrs) }
func (e *item) Sibling(i int) Element { return e.parent.children[i] }
func (e *item) Empty() bool           { return len(e.children) == 0 }
func (e *item) State() *State         { return &e.state }

func (e *item) Parent() Element {
	if e.parent == nil {
		return nil
	}
	return e.parent
}

func (e *item) Place() (i, n int) {
	if e.parent == nil {
		return 0, 1
	}
	return e.index, len(e.parent.children)
}

// mirror is a tree twice: ours and that of the reference matcher.
type mirror struct {
	ours   []*item
	theirs []*html.Node
}

func (m *mirror) grow(t *rapid.T, parent *item, at *html.Node, depth int) {
	for range rapid.IntRange(0, 3).Draw(t, "children") {
		n := &item{name: rapid.SampledFrom([]string{"g", "path", "rect"}).Draw(t, "name"), parent: parent, index: len(parent.children)}
		h := &html.Node{Type: html.ElementNode, Data: n.name}
		for _, a := range []string{"id", "class", "k"} {
			if v := rapid.SampledFrom([]string{"", "a", "b", "a b", "a-b", "ab"}).Draw(t, a); v != "" {
				n.attrs = append(n.attrs, xml.Attr{Name: xml.Name{Local: a}, Value: v})
				h.Attr = append(h.Attr, html.Attribute{Key: a, Val: v})
			}
		}
		parent.children = append(parent.children, n)
		at.AppendChild(h)
		m.ours, m.theirs = append(m.ours, n), append(m.theirs, h)
		if depth > 0 {
			m.grow(t, n, h, depth-1)
		}
	}
}

// Selectors match what a general-purpose matcher matches, with the same
// specificity.
func TestSelectorsAgainstReference(t *testing.T) {
	part := []string{"g", "path", "*", ".a", "#b", ".a.b", "path.a", "[k]", "[k=a]", `[k~="b"]`, "[k|=a]", "[k^=a]", "[k$=b]", `[k*="-"]`,
		"g:first-child", ":last-child", ":only-child", ":not(.a)", "path:not([k=ab]):not(#a)",
		":nth-child(2)", ":nth-child(2n+1)", "g:nth-child(-n+2)", ":nth-last-child(odd)", "path:nth-of-type(even)", ":nth-last-of-type( 3n - 1 )",
		":first-of-type", ":last-of-type", "g:only-of-type", ":empty", ":not(.a, g > .b)", "[k='A B' i]", ":root"}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SampledFrom(part).Draw(t, "compound")
		for range rapid.IntRange(0, 3).Draw(t, "more") {
			text += rapid.SampledFrom([]string{" ", ">", " > ", "+", " ~ "}).Draw(t, "combinator") + rapid.SampledFrom(part).Draw(t, "compound")
		}
		ref, err := cascadia.Parse(text)
		if err != nil {
			t.Fatalf("the reference refuses %q: %v", text, err)
		}
		sel, ok := parseSelector(tokens(text))
		if !ok {
			t.Fatalf("%q is refused", text)
		}
		if got, want := sel.specificity(), specificity(ref.Specificity()); got != want {
			t.Fatalf("%q has specificity %v, want %v", text, got, want)
		}
		root := &item{name: "svg"}
		doc := &html.Node{Type: html.DocumentNode}
		top := &html.Node{Type: html.ElementNode, Data: "svg"}
		doc.AppendChild(top)
		var m mirror
		m.grow(t, root, top, 3)
		c := NewCascade(nil)
		for i, n := range m.ours {
			if got, want := c.matches(sel, n), ref.Match(m.theirs[i]); got != want {
				t.Fatalf("%q matches element %d (%s %v): %v, want %v", text, i, n.name, n.attrs, got, want)
			}
		}
	})
}

func TestSelectorsRefused(t *testing.T) {
	for _, text := range []string{"", ">a", "a>", "a > > b", "..a", ".", "#", "a[", "a[k", "a[k=]", "a[k=1]", "a:", "a:hover", "a::before", "a:not(", "a:nth-child(x)", "a:nth-child(2n+)", "a:nth-child(2n3)", "a:is(b,)", "a:not(b", "a b!", "!", strings.Repeat("a ", maxCompounds) + "b"} {
		if sel, ok := parseSelector(tokens(text)); ok {
			t.Errorf("%q is read as %+v", text, sel)
		}
	}
}
