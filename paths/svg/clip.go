package svg

import "weftplot/paths"

// clip is what remains to be seen: the union of some shapes, within next.
type clip struct {
	shapes []clipShape
	next   *clip
}

// clipShape is an area, itself perhaps within a clip of its own.
type clipShape struct {
	area   *area
	within *clip
}

// contains reports whether p shows through c and all it stands within.
func (c *clip) contains(p paths.Point) bool {
	for ; c != nil; c = c.next {
		found := false
		for _, s := range c.shapes {
			if s.area.contains(p) && s.within.contains(p) {
				found = true
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}

// edges calls f with every area that has a part in c.
func (c *clip) edges(f func(*area)) {
	for ; c != nil; c = c.next {
		for _, s := range c.shapes {
			f(s.area)
			s.within.edges(f)
		}
	}
}

// clipKey tells the clips apart that were already built.
type clipKey struct {
	n *node
	m paths.Affine
}

// clipBy puts the clip path of n, if it has one, into its context (CSS Masking
// 1, 5 and 6). c.m is already that of n.
func (r *reader) clipBy(n *node, c *context) {
	value := c.style.own.clipPath
	if value == "none" || value == "" {
		return
	}
	id, rest, ok := urlID(value)
	target := r.byID[id]
	switch {
	case !ok || rest != "":
		r.notes.add(n, "clip-not-applied", "The clip path %q is not applied; lines are drawn that it may hide.", excerpt(value))
	case target == nil || target.name != "clipPath": // no clip, says the standard
	default:
		r.clipTo(target, n, c)
	}
}

// clipTo puts the clip path that target describes into the context of n.
func (r *reader) clipTo(target, n *node, c *context) {
	m := r.transform(target).Then(c.m)
	v := c.view
	if target.attr("clipPathUnits") == "objectBoundingBox" {
		b := r.boxOf(n, paths.Identity(), c.view, c.depth)
		if b.IsEmpty() {
			return
		}
		m = r.transform(target).Then(paths.Affine{A: b.Width(), D: b.Height(), E: b.Min.X, F: b.Min.Y}).Then(c.m)
		v = view{w: 1, h: 1, em: c.view.em}
	}
	key := clipKey{target, m}
	one, built := r.clips[key]
	if !built {
		one = r.buildClip(target, m, v, c.depth)
		r.clips[key] = one
	}
	if one == nil {
		r.notes.add(n, "clip-not-applied", "Its clip path holds what is no shape, refers to itself or is too large, and is not applied; lines are drawn that it may hide.")
		return
	}
	for ; one != nil; one = one.next { // its own clip, if it has one, counts too
		c.clip = &clip{shapes: one.shapes, next: c.clip}
	}
}

// buildClip makes the clip that a clipPath element describes; nil when it holds
// what cannot be made an area.
func (r *reader) buildClip(target *node, m paths.Affine, v view, depth int) *clip {
	if r.open[target] || depth > r.opt.MaxDepth {
		return nil
	}
	r.open[target] = true
	defer delete(r.open, target)
	outer := context{m: m, view: v, style: r.styleInPlace(target), depth: depth + 1}
	r.clipBy(target, &outer)
	out := &clip{next: outer.clip}
	for _, child := range target.children {
		if child.name == "" || undrawn[child.name] {
			continue
		}
		if !r.clipChild(child, child, outer, &out.shapes) {
			return nil
		}
	}
	return out
}

// clipChild adds the area of one shape of a clip path, or of the shape that a
// use element there refers to. ok is false for anything else.
func (r *reader) clipChild(n, styled *node, c context, out *[]clipShape) (ok bool) {
	if !r.afford(n, c.depth) {
		return true
	}
	c.style = r.styleOf(n, &c.style)
	c.view.em = c.style.em
	if c.style.own.display == "none" {
		return true
	}
	c.m = r.transform(n).Then(c.m)
	c.clip = nil
	r.clipBy(n, &c)
	switch {
	case n.name == "use" && n == styled:
		shape := r.useTarget(n)
		if shape == nil {
			return true
		}
		if !shapeNames[shape.name] {
			return false
		}
		at := paths.Point{X: c.view.x(r.measure(n, "x")), Y: c.view.y(r.measure(n, "y"))}
		c.m = paths.Translate(at).Then(c.m)
		var inner []clipShape
		ok := r.clipChild(shape, n, c, &inner)
		for _, s := range inner {
			if s.within == nil {
				s.within = c.clip
			} else if c.clip != nil {
				s.within = &clip{shapes: []clipShape{s}, next: c.clip}
			}
			*out = append(*out, s)
		}
		return ok
	case !shapeNames[n.name]:
		return false
	case c.style.visibility != "visible":
		return true
	}
	p := pen{m: c.m, tol: r.opt.Tolerance, budget: &r.left}
	problem := n.outline(&p, c.view)
	if p.spent() {
		r.halt(n, "the drawing has more than %d pieces of line, the most that are read", r.opt.MaxCurves)
		return true
	}
	if p.lost > 0 {
		return false
	}
	if problem != nil {
		r.notes.add(n, "shape-damaged", "As part of a clip path it counts only as far as it can be read: %v.", problem)
	}
	*out = append(*out, clipShape{r.newArea(n, p.strokes, c.style.clipRule == "evenodd"), c.clip})
	return true
}

// styleInPlace returns the style of n where it stands, not where it is used.
func (r *reader) styleInPlace(n *node) style {
	parent := initialStyle()
	if n.parent != nil {
		parent = r.styleInPlace(n.parent)
	}
	return r.styleOf(n, &parent)
}

// boxOf returns the bounding box of what n draws, without its strokes, in the
// frame that m leads to from inside n (SVG 2, Coordinate systems, bounding
// boxes).
func (r *reader) boxOf(n *node, m paths.Affine, v view, depth int) paths.Rect {
	box := paths.EmptyRect()
	if !r.afford(n, depth) {
		return box
	}
	switch {
	case shapeNames[n.name]:
		r.cascade(n)
		p := pen{m: m, tol: r.opt.Tolerance, budget: &r.left}
		_ = n.outline(&p, v) // told of when it is drawn
		return paths.BoundsOf(p.strokes)
	case n.name == "use":
		if id, local := n.href(); local && r.byID[id] != nil && !r.open[r.byID[id]] && !within(n, r.byID[id]) {
			target := r.byID[id]
			at := paths.Point{X: v.x(r.measure(n, "x")), Y: v.y(r.measure(n, "y"))}
			r.open[n] = true
			box = r.boxOf(target, r.transform(target).Then(paths.Translate(at)).Then(m), v, depth+1)
			delete(r.open, n)
		}
		return box
	}
	for _, child := range n.children {
		if child.name != "" && !undrawn[child.name] {
			box = box.Union(r.boxOf(child, r.transform(child).Then(m), v, depth+1))
		}
	}
	return box
}

// clipToViewport hides what reaches out of an inner viewport of the size w x h,
// as it does unless overflow says otherwise (SVG 2, Rendering, overflow). c.m
// is the frame of the viewport itself.
func (r *reader) clipToViewport(n *node, c *context, w, h float64) {
	switch c.style.own.overflow {
	case "visible", "auto":
		return
	}
	p := pen{m: c.m, tol: r.opt.Tolerance, budget: &r.left}
	drawRect(paths.Point{}, w, h, 0, 0, &p)
	c.clip = &clip{shapes: []clipShape{{area: r.newArea(n, p.strokes, false)}}, next: c.clip}
}

// cut returns the parts of the strokes of n that show through the clip.
func (r *reader) cut(n *node, c *context, strokes []paths.Stroke, filled bool) []paths.Stroke {
	if c.clip == nil {
		return strokes
	}
	k := cutter{r: r, clip: c.clip, at: n}
	var out []paths.Stroke
	for _, s := range strokes {
		out = append(out, k.stroke(s)...)
	}
	switch {
	case len(out) == 0 && len(strokes) > 0:
		r.notes.add(n, "clipped-away", "It lies wholly outside what its clip path or viewport leaves to be seen, so it is not drawn.")
	case k.cuts > 0 && filled:
		r.notes.add(n, "fill-cut-open", "Its outline is cut by a clip path or viewport; no line is drawn along the cut.")
	}
	return out
}
