package svg

import (
	"weftplot/paths"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
	"weftplot/paths/svg/text"
)

// clipKey identifies a clip that was already built.
type clipKey struct {
	n *node
	m paths.Affine
}

// builtClip is a clip that was built, or says why it cannot be.
type builtClip struct {
	clip *shape.Clip
	bad  string // of the clip path, as the end of a sentence
}

// Why a clip path cannot be applied.
const (
	badRecursion = "refers to itself"
	badRange     = "is too large"
	badText      = "holds text that no font is named for ([font] names one)"
	badRun       = "holds text that cannot be set"
)

// clipBy puts the clip path of n, if it has one, into its context (CSS Masking
// 1, 5 and 6). c.m is already that of n.
func (r *reader) clipBy(n *node, c *context) {
	value := c.style.Own.ClipPath
	if value == "none" || value == "" {
		return
	}
	id, rest, ok := css.URL(value)
	target := r.byID[id]
	switch {
	case !ok || rest != "":
		r.notes.add(n, "clip-not-applied", "The clip path %q is not applied; lines are drawn that it may hide.", lex.Excerpt(value))
	case target == nil || target.name != "clipPath": // by the standard, no clip
	default:
		r.clipTo(target, n, c)
	}
}

// clipTo puts the clip path that target describes into the context of n.
func (r *reader) clipTo(target, n *node, c *context) {
	r.css.Prepare(target)
	m := r.transform(target, c.view).Then(c.m)
	v := c.view
	if target.attr("clipPathUnits") == "objectBoundingBox" {
		b := r.boxOf(n, paths.Identity(), c.view, c.depth)
		if b.IsEmpty() {
			return
		}
		// Its transform acts on the box, in user units, as browsers have it.
		m = paths.Affine{A: b.Width(), D: b.Height(), E: b.Min.X, F: b.Min.Y}.Then(m)
		v = view{w: 1, h: 1, em: c.view.em}
	}
	key := clipKey{target, m}
	one, built := r.clips[key]
	if !built {
		one = r.buildClip(target, m, v, c.depth)
		r.clips[key] = one
	}
	if one.bad != "" {
		r.notes.add(n, "clip-not-applied", "Its clip path %s, and is not applied; lines are drawn that it may hide.", one.bad)
		return
	}
	for a := one.clip; a != nil; a = a.Next { // its own clip, if it has one, counts too
		c.clip = &shape.Clip{Shapes: a.Shapes, Next: c.clip}
	}
}

// buildClip makes the clip that a clipPath element describes.
func (r *reader) buildClip(target *node, m paths.Affine, v view, depth int) builtClip {
	if r.open[target] || depth > r.opt.MaxDepth {
		return builtClip{bad: badRecursion}
	}
	r.open[target] = true
	defer delete(r.open, target)
	outer := context{m: m, view: v, style: r.styleInPlace(target), depth: depth + 1}
	r.clipBy(target, &outer)
	out := &shape.Clip{Next: outer.clip}
	for _, child := range target.children {
		if child.name == "" || undrawn[child.name] {
			continue
		}
		if bad := r.clipChild(child, child, outer, &out.Shapes); bad != "" {
			return builtClip{bad: bad}
		}
	}
	return builtClip{clip: out}
}

// clipChild adds the area of one shape of a clip path, or of the shape that a
// use element there refers to. bad says why the clip path cannot be applied.
func (r *reader) clipChild(n, styled *node, c context, out *[]shape.ClipShape) (bad string) {
	if !r.afford(n, c.depth) {
		return ""
	}
	c.style = r.css.Style(n, &c.style)
	c.view.em = c.style.FontSize
	if c.style.Own.Display == "none" {
		return ""
	}
	c.m = r.transform(n, c.view).Then(c.m)
	c.clip = nil
	r.clipBy(n, &c)
	switch {
	case n.name == "use" && n == styled:
		return r.clipUse(n, c, out)
	case n.name == "text":
		return r.clipText(n, c, out)
	case !shapeNames[n.name]:
		r.notes.add(n, "element-not-known", "A clip path holds shapes only, so this counts for nothing in it.")
		return ""
	case c.style.Visibility != "visible":
		return ""
	}
	p := shape.Pen{Map: c.m, Tolerance: r.opt.Tolerance, Budget: &r.left}
	problem := n.outline(&p, c.view)
	if p.Spent() {
		r.spend(n, 0)
		return ""
	}
	if p.Lost > 0 {
		return badRange
	}
	if problem != nil {
		r.notes.add(n, "shape-damaged", "As part of a clip path it counts only as far as it can be read: %v.", problem)
	}
	*out = append(*out, shape.ClipShape{Area: r.newArea(n, p.Strokes, c.style.ClipRule == "evenodd"), Within: c.clip})
	return ""
}

// clipText adds the areas of the letters of a text, those of one element as one area.
func (r *reader) clipText(n *node, c context, out *[]shape.ClipShape) (bad string) {
	if len(r.fonts) == 0 {
		return badText
	}
	t := textReader{r: r, clips: true}
	l := t.read(n, c)
	if r.stop != nil {
		return ""
	}
	if l == nil || t.failed {
		return badRun
	}
	t.bySpan(l.Glyphs, func(s *textSpan, glyphs []text.Glyph) {
		if s.c.style.Visibility != "visible" {
			return
		}
		p := t.outlines(s, glyphs)
		if p.Spent() {
			r.spend(s.n, 0)
			return
		}
		if p.Lost > 0 {
			bad = badRange
			return
		}
		*out = append(*out, shape.ClipShape{Area: r.newArea(s.n, p.Strokes, false), Within: c.clip})
	})
	return bad
}

// clipUse adds the area of the shape that a use element of a clip path refers to.
func (r *reader) clipUse(n *node, c context, out *[]shape.ClipShape) (bad string) {
	target := r.useTarget(n)
	if target == nil {
		return ""
	}
	if !shapeNames[target.name] && target.name != "text" {
		r.notes.add(n, "element-not-known", "A clip path holds shapes only, so this counts for nothing in it.")
		return ""
	}
	at := paths.Point{X: c.view.x(r.measure(n, "x")), Y: c.view.y(r.measure(n, "y"))}
	c.m = paths.Translate(at).Then(c.m)
	var inner []shape.ClipShape
	bad = r.clipChild(target, n, c, &inner)
	for _, s := range inner {
		if s.Within == nil {
			s.Within = c.clip
		} else if c.clip != nil {
			s.Within = &shape.Clip{Shapes: []shape.ClipShape{s}, Next: c.clip}
		}
		*out = append(*out, s)
	}
	return bad
}

// boxOf returns the bounding box of what n draws, without its strokes, in the
// frame that m maps to from inside n (SVG 2, Coordinate systems, bounding
// boxes).
func (r *reader) boxOf(n *node, m paths.Affine, v view, depth int) paths.Rect {
	box := paths.EmptyRect()
	if !r.afford(n, depth) {
		return box
	}
	switch {
	case shapeNames[n.name]:
		r.css.Prepare(n)
		p := shape.Pen{Map: m, Tolerance: r.opt.Tolerance, Budget: &r.left}
		_ = n.outline(&p, v) // noted when it is drawn
		return paths.BoundsOf(p.Strokes)
	case n.name == "text":
		return r.boxOfText(n, m, v, depth)
	case n.name == "use":
		if id, local := n.href(); local && r.byID[id] != nil && !r.open[r.byID[id]] && !within(n, r.byID[id]) {
			target := r.byID[id]
			at := paths.Point{X: v.x(r.measure(n, "x")), Y: v.y(r.measure(n, "y"))}
			r.open[n] = true
			r.css.Prepare(target)
			box = r.boxOf(target, r.transform(target, v).Then(paths.Translate(at)).Then(m), v, depth+1)
			delete(r.open, n)
		}
		return box
	}
	for _, child := range n.children {
		if child.name != "" && !undrawn[child.name] {
			r.css.Prepare(child)
			box = box.Union(r.boxOf(child, r.transform(child, v).Then(m), v, depth+1))
		}
	}
	return box
}

// boxOfText returns the box of the letters of a text as far as they have a font: of what
// is drawn of them, where the standard takes the cells they stand in.
func (r *reader) boxOfText(n *node, m paths.Affine, v view, depth int) paths.Rect {
	box := paths.EmptyRect()
	if len(r.fonts) == 0 {
		return box
	}
	c := context{m: m, view: v, style: r.styleInPlace(n), depth: depth}
	c.view.em = c.style.FontSize
	t := textReader{r: r, clips: true}
	if l := t.read(n, c); l != nil {
		t.bySpan(l.Glyphs, func(s *textSpan, glyphs []text.Glyph) {
			box = box.Union(paths.BoundsOf(t.outlines(s, glyphs).Strokes))
		})
	}
	return box
}

// clipToViewport hides what lies outside an inner viewport of the size w x h,
// unless overflow says otherwise (SVG 2, Rendering, overflow). c.m is the frame
// of the viewport itself.
func (r *reader) clipToViewport(n *node, c *context, w, h float64) {
	switch c.style.Own.Overflow {
	case "visible", "auto":
		return
	}
	p := shape.Pen{Map: c.m, Tolerance: r.opt.Tolerance, Budget: &r.left}
	shape.DrawRect(paths.Point{}, w, h, 0, 0, &p)
	c.clip = &shape.Clip{Shapes: []shape.ClipShape{{Area: r.newArea(n, p.Strokes, false)}}, Next: c.clip}
}

// newArea makes an area of outlines, flattened within the tolerance.
func (r *reader) newArea(n *node, outlines []paths.Stroke, evenOdd bool) *shape.Area {
	polygons := make([][]paths.Point, len(outlines))
	for i, s := range outlines {
		polygons[i] = r.flat(n, s)
	}
	return shape.NewArea(outlines, polygons, evenOdd, 2*r.opt.Tolerance, &r.clipWork)
}

// flat returns the corners of a polyline within the tolerance of s. It goes
// curve by curve, so that the tolerance is kept however large they are.
func (r *reader) flat(n *node, s paths.Stroke) []paths.Point {
	pts := []paths.Point{s.Start()}
	for _, c := range s {
		more := paths.Stroke{c}.Flatten(r.opt.Tolerance)[1:]
		if !r.spend(n, len(more)) {
			return nil
		}
		pts = append(pts, more...)
	}
	return pts
}

// cut returns the parts of the strokes of n that show through the clip.
func (r *reader) cut(n *node, c *context, strokes []paths.Stroke) []paths.Stroke {
	if c.clip == nil {
		return strokes
	}
	var out []paths.Stroke
	for _, s := range strokes {
		pieces, err := c.clip.Cut(s, &r.clipWork)
		if err != nil {
			r.halt(n, "%v", err)
			return nil
		}
		if !s.IsDot() && !r.spend(n, len(pieces)) {
			return nil
		}
		out = append(out, pieces...)
	}
	r.clippedAway(n, strokes, out)
	return out
}

// clippedAway notes a shape of which a clip leaves nothing.
func (r *reader) clippedAway(n *node, before, after []paths.Stroke) {
	if len(after) == 0 && len(before) > 0 && r.stop == nil {
		r.notes.add(n, "clipped-away", "It lies wholly outside what its clip path, mask or viewport leaves to be seen, so it is not drawn.")
	}
}
