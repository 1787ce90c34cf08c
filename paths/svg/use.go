package svg

import (
	"weftplot/paths"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
)

// use draws a copy of the element that n refers to, moved by x and y (SVG 2,
// Document structure, the use element). The copy inherits from n. Style rules
// are matched where the original is.
func (r *reader) use(n *node, c context) {
	target := r.useTarget(n)
	if target == nil {
		return
	}
	if r.uses++; r.uses > r.opt.MaxUses {
		r.halt(n, "use elements make more than %d copies, the most that are drawn", r.opt.MaxUses)
		return
	}
	at := paths.Point{X: c.view.x(r.measure(n, "x")), Y: c.view.y(r.measure(n, "y"))}
	c.m = paths.Translate(at).Then(c.m)
	c.depth++
	r.open[n] = true
	defer delete(r.open, n)
	switch target.name {
	case "symbol", "svg":
		r.useViewport(n, target, c)
	default:
		r.element(target, c)
	}
}

// useTarget finds what n refers to, and notes why there is nothing to draw.
func (r *reader) useTarget(n *node) *node {
	id, local := n.href()
	if !local {
		r.notes.add(n, "use-outside-file", "It refers to something outside the file, so it is not drawn.")
		return nil
	}
	target := r.byID[id]
	switch {
	case target == nil:
		r.notes.add(n, "use-target-missing", "It refers to %q, which the file does not hold, so it is not drawn.", lex.Excerpt(id))
		return nil
	case r.open[target] || within(n, target):
		r.notes.add(n, "use-cycle", "It refers to something that holds itself, so it is not drawn.")
		return nil
	case undrawn[target.name] && target.name != "symbol":
		r.notes.add(n, "use-target-missing", "It refers to %q, a %s, which is not drawn by itself.", lex.Excerpt(id), target.name)
		return nil
	}
	return target
}

// within reports whether n is a or is inside it.
func within(n, a *node) bool {
	for ; n != nil; n = n.parent {
		if n == a {
			return true
		}
	}
	return false
}

// useViewport draws a symbol or an inner picture, whose size the use element
// may set.
func (r *reader) useViewport(n, target *node, c context) {
	if !r.afford(target, c.depth) {
		return
	}
	c.style = r.css.Style(target, &c.style)
	c.view.em = c.style.FontSize
	if r.hidden(target, &c.style) {
		return
	}
	c.m = r.transform(target, c.view).Then(c.m)
	r.effects(target, &c)
	size := func(name string) css.Length {
		if n.isAuto(name) || r.measure(n, name).IsNegative() {
			return r.extent(target, name)
		}
		return r.measure(n, name)
	}
	at := paths.Point{X: c.view.x(r.measure(target, "x")), Y: c.view.y(r.measure(target, "y"))}
	r.viewport(target, c, at, c.view.x(size("width")), c.view.y(size("height")))
}
