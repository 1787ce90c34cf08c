package css

import "encoding/xml"

// Element is what the cascade asks of an element of a document.
type Element interface {
	// Name is its local name, "" where it belongs to another vocabulary.
	Name() string
	// Attrs are its attributes in the order of the file.
	Attrs() []xml.Attr
	// Size is how many bytes its attributes have; the cost of testing a
	// selector grows with it.
	Size() int
	// Parent is the element that holds it, nil for the root.
	Parent() Element
	// Place says which of n siblings it is, from 0; the root is 0 of 1.
	Place() (i, n int)
	// Sibling returns sibling i of n, as counted by Place.
	Sibling(i int) Element
	// Empty reports whether it holds neither elements nor text.
	Empty() bool
	// State is where the cascade keeps what it has computed. It is the same
	// pointer at each call.
	State() *State
}

// State is what the cascade has computed for one element. The zero value is
// that of an element not yet seen.
type State struct {
	props                []decl // after the cascade; see [Cascade.Prepare]
	resolved             []decl // the same with variables replaced; see [Cascade.resolve]
	variable             bool   // it sets or uses custom properties
	cascaded             bool
	typeIndex, typeCount int32 // among the siblings of its name, from 1; see [numberOfType]
}

// Property returns the value of a property after the cascade, with the
// variables of the place where the element was last styled: a copy by reference
// may have other variables than the original. ok is false when the file does
// not set it.
func (s *State) Property(name string) (value string, ok bool) {
	list := s.resolved
	if list == nil {
		list = s.props
	}
	for _, d := range list {
		if d.name == name {
			return d.value, true
		}
	}
	return "", false
}

// Reporter receives what is left out of the style sheets, and where reading
// must stop.
type Reporter interface {
	// Note reports something that is not applied, with a code and a sentence.
	Note(e Element, code, message string)
	// Halt reports a bound that the file exceeds. The cascade still answers
	// afterwards, but incompletely.
	Halt(e Element, message string)
}

// Cascade has the rules of a document's style sheets and applies them to its
// elements. Make one with [NewCascade].
type Cascade struct {
	report Reporter
	rules  ruleIndex
	steps  int // spent on matching selectors and replacing variables

	above, made Style // of the element whose style is being computed: its parent's, and its own
}

// NewCascade returns a cascade without rules: only attributes and style
// attributes count until sheets are added.
func NewCascade(report Reporter) *Cascade { return &Cascade{report: report} }

// attribute returns the attribute of e without a namespace.
func attribute(e Element, name string) (value string, ok bool) {
	for _, a := range e.Attrs() {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value, true
		}
	}
	return "", false
}

// attributeText is [attribute], "" for none.
func attributeText(e Element, name string) string {
	v, _ := attribute(e, name)
	return v
}
