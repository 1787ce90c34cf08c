package svg

import "weftplot/paths"

// measure returns a length of n, zero with a note when it cannot be read.
func (r *reader) measure(n *node, name string) length {
	l, err := n.length(name)
	if err != nil {
		r.notes.add(n, "length-unreadable", "One of its lengths counts as zero: %v.", err)
	}
	return l
}

// extent returns the width or height of an inner viewport, 100% when it is not
// given or negative, which is an error and ignored.
func (r *reader) extent(n *node, name string) length {
	if l := r.measure(n, name); !l.negative() && !n.isAuto(name) {
		return l
	}
	return length{v: 100, unit: "%"}
}

// viewport draws the children of n, an svg or symbol element, within a
// viewport of their own (SVG 2, Coordinate systems, establishing a new
// viewport). One without area shows nothing.
func (r *reader) viewport(n *node, c context, at paths.Point, w, h float64) {
	b, hasBox := r.viewBox(n)
	if w <= 0 || h <= 0 || hasBox && (b.w == 0 || b.h == 0) {
		if draws(n) || n.name == "symbol" {
			r.notes.add(n, "no-extent", "Its viewport has no width or height, so it is not drawn.")
		}
		return
	}
	c.m = paths.Translate(at).Then(c.m)
	r.clipToViewport(n, &c, w, h)
	c.view.w, c.view.h = w, h
	if hasBox {
		c.m = fit(b, n.attr("preserveAspectRatio"), w, h).Then(c.m)
		c.view.w, c.view.h = b.w, b.h
	}
	r.children(n, c)
}
