package css

import (
	"encoding/xml"
	"strings"
)

// xmlNamespace is that of the attribute xml:space (XML 1.0, 2.10).
const xmlNamespace = "http://www.w3.org/XML/1998/namespace"

// Prepare works out, once, the properties that the file sets for e: attributes
// first, then rules by specificity and order, then the style attribute, and
// important declarations over all of these (CSS Cascading 4, 6.1; SVG 2,
// Styling). [Cascade.Style] calls it; call Prepare yourself only to use
// [State.Property] on an element whose style was not asked for yet.
func (c *Cascade) Prepare(e Element) {
	s := e.State()
	if s.cascaded {
		return
	}
	s.cascaded = true
	s.setAttributes(e.Attrs())
	rules := c.matching(e)
	var own []decl
	if text := attributeText(e, "style"); text != "" {
		own = declarations(c.styleTokens(e, text))
	}
	for _, important := range []bool{false, true} {
		pick := func(list []decl) {
			for _, d := range list {
				if d.important == important {
					s.set(d)
				}
			}
		}
		for _, r := range rules {
			pick(r.decls)
		}
		pick(own)
	}
}

// setAttributes sets the properties that attributes may set.
func (s *State) setAttributes(attrs []xml.Attr) {
	for _, a := range attrs {
		if a.Name.Local == "space" && (a.Name.Space == "xml" || a.Name.Space == xmlNamespace) {
			if how := map[string]string{"preserve": "pre", "default": "normal"}[a.Value]; how != "" {
				s.set(decl{name: "white-space", value: how})
			}
		}
		if a.Name.Space == "" && properties[a.Name.Local].attribute {
			s.set(decl{name: a.Name.Local, value: strings.TrimSpace(a.Value)})
		}
	}
}

// set replaces what was declared of a property before, unless the value is an
// error. A value with variables cannot be checked yet and is kept.
func (s *State) set(d decl) {
	if d.name == "marker" || d.name == "font" {
		for _, p := range shorthand(d) {
			s.set(p)
		}
		return
	}
	varies := strings.HasPrefix(d.name, "--") || hasVar(d.value)
	if valid := properties[d.name].valid; valid != nil && !varies && !wide(d.value) && !valid(d.value) {
		return
	}
	s.variable = s.variable || varies
	for i := range s.props {
		if s.props[i].name == d.name {
			s.props[i] = d
			return
		}
	}
	s.props = append(s.props, d)
}

// shorthand returns the declarations that a shorthand property expands to.
func shorthand(d decl) []decl {
	var out []decl
	switch d.name {
	case "marker":
		for _, part := range []string{"marker-start", "marker-mid", "marker-end"} {
			out = append(out, decl{part, d.value, d.important})
		}
	case "font":
		for _, p := range parseFontShorthand(d.value) {
			p.important = d.important
			out = append(out, p)
		}
	}
	return out
}

// wide reports whether a value is a keyword that every property takes (CSS
// Cascading 4, 7.3).
func wide(value string) bool {
	switch strings.ToLower(value) {
	case "inherit", "initial", "unset", "revert", "revert-layer":
		return true
	}
	return false
}
