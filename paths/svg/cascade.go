package svg

import "strings"

// xmlNamespace is that of the attribute xml:space (XML 1.0, 2.10).
const xmlNamespace = "http://www.w3.org/XML/1998/namespace"

// cascade works out, once, the properties that the file sets for n: attributes
// first, then rules by specificity and order, then the style attribute, and
// what is important over all (CSS Cascading 4, 6.1; SVG 2, Styling).
func (r *reader) cascade(n *node) {
	if n.cascaded {
		return
	}
	n.cascaded = true
	for _, a := range n.attrs {
		if a.Name.Local == "space" && (a.Name.Space == "xml" || a.Name.Space == xmlNamespace) {
			if how := map[string]string{"preserve": "pre", "default": "normal"}[a.Value]; how != "" {
				n.set(decl{name: "white-space", value: how})
			}
		}
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
// value is an error. What a variable makes of it is not known yet.
func (n *node) set(d decl) {
	if d.name == "marker" || d.name == "font" {
		for _, p := range shorthand(d) {
			n.set(p)
		}
		return
	}
	varies := strings.HasPrefix(d.name, "--") || hasVar(d.value)
	if valid := properties[d.name].valid; valid != nil && !varies && !wide(d.value) && !valid(d.value) {
		return
	}
	n.variable = n.variable || varies
	for i := range n.props {
		if n.props[i].name == d.name {
			n.props[i] = d
			return
		}
	}
	n.props = append(n.props, d)
}

// shorthand returns what a declaration of several properties stands for.
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

// prop returns what the cascade holds of a property, as it stands where n is
// drawn now: a copy by use may have other variables.
func (n *node) prop(name string) (string, bool) {
	list := n.resolved
	if list == nil {
		list = n.props
	}
	for _, d := range list {
		if d.name == name {
			return d.value, true
		}
	}
	return "", false
}

// wide reports whether a value is one that any property takes (CSS Cascading 4, 7.3).
func wide(value string) bool {
	switch strings.ToLower(value) {
	case "inherit", "initial", "unset", "revert", "revert-layer":
		return true
	}
	return false
}
