package svg

import "strings"

// cascade works out, once, the properties that the file sets for n: attributes
// first, then rules by specificity and order, then the style attribute, and
// what is important over all (CSS Cascading 4, 6.1; SVG 2, Styling).
func (r *reader) cascade(n *node) {
	if n.cascaded {
		return
	}
	n.cascaded = true
	for _, a := range n.attrs {
		if a.Name.Space == "" && properties[a.Name.Local].attribute {
			n.set(decl{name: a.Name.Local, value: strings.TrimSpace(a.Value)})
		}
	}
	rules := r.matching(n)
	var own []decl
	if text := n.attr("style"); text != "" {
		own = declarations(r.styleTokens(n, text))
	}
	for _, important := range []bool{false, true} {
		pick := func(list []decl) {
			for _, d := range list {
				if d.important == important {
					n.set(d)
				}
			}
		}
		for _, ru := range rules {
			pick(ru.decls)
		}
		pick(own)
	}
}

// set puts a declaration over what was said of the property before, unless its
// value is an error.
func (n *node) set(d decl) {
	if d.name == "marker" {
		for _, part := range []string{"marker-start", "marker-mid", "marker-end"} {
			n.set(decl{name: part, value: d.value})
		}
		return
	}
	if valid := properties[d.name].valid; valid != nil && !wide(d.value) && !valid(d.value) {
		return
	}
	for i := range n.props {
		if n.props[i].name == d.name {
			n.props[i] = d
			return
		}
	}
	n.props = append(n.props, d)
}

// prop returns what the cascade holds of a property.
func (n *node) prop(name string) (string, bool) {
	for _, d := range n.props {
		if d.name == name {
			return d.value, true
		}
	}
	return "", false
}

// wide reports whether a value is one that any property takes (CSS Cascading 4, 7.3).
func wide(value string) bool {
	switch strings.ToLower(value) {
	case "inherit", "initial", "unset", "revert":
		return true
	}
	return false
}
