package svg

import (
	"slices"
	"strings"

	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
)

// hidden reports whether nothing of n shows, and notes it.
func (r *reader) hidden(n *node, s *css.Style) bool {
	why := ""
	switch {
	case s.Own.Display == "none":
		why = "display is none"
	case s.Own.Opacity == 0:
		why = "its opacity is 0"
	default:
		return false
	}
	switch name := groupName(n); {
	case !draws(n):
	case n.name == "g" && name != unlayered:
		r.notes.add(n, "hidden", "The group %q is hidden (%s), so it is not drawn.", lex.Excerpt(name), why)
	default:
		r.notes.add(n, "hidden", "It is hidden (%s), so it is not drawn.", why)
	}
	return true
}

// draws reports whether n holds anything that could show. The answer is kept, as it
// is needed again for each copy.
func draws(n *node) bool {
	if n.draws == unasked {
		n.draws = no
		_, picture := pictures[n.name]
		if picture || shapeNames[n.name] || n.name == "use" || !undrawn[n.name] && slices.ContainsFunc(n.children, draws) {
			n.draws = yes
		}
	}
	return n.draws == yes
}

// conditionsMet reports whether the attributes that choose by program and
// language hold (SVG 2, Document structure, conditional processing). This
// program has no extensions, and its language is English.
func conditionsMet(n *node) bool {
	if v, ok := n.lookup("requiredExtensions"); ok && strings.TrimSpace(v) != "" {
		return false
	}
	v, ok := n.lookup("systemLanguage")
	if !ok {
		return true
	}
	for _, tag := range strings.Split(v, ",") {
		if lang, _, _ := strings.Cut(strings.TrimSpace(tag), "-"); strings.EqualFold(lang, "en") {
			return true
		}
	}
	return false
}

// switchTo draws the first child whose conditions hold. A foreignObject and an element
// that is not known are passed over, because they cannot be drawn.
func (r *reader) switchTo(n *node, c context) {
	c.depth++
	for _, child := range n.children {
		if child.name == "" || child.name == "foreignObject" || !isKnown(child.name) || undrawn[child.name] || !conditionsMet(child) {
			continue
		}
		r.open[n] = true
		r.element(child, c)
		delete(r.open, n)
		return
	}
}

// isKnown reports whether elements of a name are drawn, or known not to be.
func isKnown(name string) bool {
	switch name {
	case "g", "a", "svg", "use", "switch":
		return true
	}
	_, picture := pictures[name]
	return picture || shapeNames[name]
}
