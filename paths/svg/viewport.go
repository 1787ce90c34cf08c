package svg

import (
	"fmt"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
)

// mm is how many mm are in one unit. It is not computed from px, so that a file
// which says 100mm is 100 mm to the last bit.
var mm = map[string]float64{
	"": paths.MMPerInch / 96, "px": paths.MMPerInch / 96, "in": paths.MMPerInch, "cm": 10, "mm": 1,
	"q": 0.25, "pt": paths.MMPerInch / 72, "pc": paths.MMPerInch / 6,
}

// box is a viewBox: where it begins and how large it is, in the units inside.
type box struct{ x, y, w, h float64 }

// viewBox returns the viewBox of n. ok is false when it has none or one that
// is an error; a box of zero size, which hides everything, is returned.
func (r *reader) viewBox(n *node) (b box, ok bool) {
	text, given := n.lookup("viewBox")
	if !given {
		return box{}, false
	}
	v, good := lex.Numbers(text)
	if !good || len(v) != 4 || v[2] < 0 || v[3] < 0 {
		r.notes.add(n, "view-box-unreadable", "The viewBox %q is not four numbers with a size; it is left out of account.", lex.Excerpt(text))
		return box{}, false
	}
	return box{v[0], v[1], v[2], v[3]}, true
}

// fit returns the map of the viewBox into a viewport of the size w x h at the
// origin, under the rules of preserveAspectRatio (SVG 2, Coordinate systems).
func fit(b box, aspect string, w, h float64) paths.Affine {
	sx, sy := w/b.w, h/b.h
	align, slice := parseAspect(aspect)
	if align == "none" {
		return paths.Translate(paths.Point{X: -b.x, Y: -b.y}).Then(paths.Scale(sx, sy))
	}
	s := min(sx, sy)
	if slice {
		s = max(sx, sy)
	}
	place := func(part string, spare float64) float64 {
		switch part {
		case "Min":
			return 0
		case "Max":
			return spare
		}
		return spare / 2
	}
	return paths.Affine{
		A: s, D: s,
		E: place(align[1:4], w-b.w*s) - b.x*s,
		F: place(align[5:8], h-b.h*s) - b.y*s,
	}
}

// parseAspect reads preserveAspectRatio; one in error counts as not given.
func parseAspect(text string) (align string, slice bool) {
	f := strings.Fields(text)
	if len(f) > 0 && f[0] == "defer" { // SVG 1.1
		f = f[1:]
	}
	if len(f) == 0 || len(f) > 2 || len(f) == 2 && f[1] != "meet" && f[1] != "slice" {
		return "xMidYMid", false
	}
	if f[0] != "none" && !alignments[f[0]] {
		return "xMidYMid", false
	}
	return f[0], len(f) == 2 && f[1] == "slice"
}

var alignments = map[string]bool{
	"xMinYMin": true, "xMidYMin": true, "xMaxYMin": true,
	"xMinYMid": true, "xMidYMid": true, "xMaxYMid": true,
	"xMinYMax": true, "xMidYMax": true, "xMaxYMax": true,
}

// page is the outermost viewport.
type page struct {
	w, h    float64      // mm; 0 when the file has no page
	hasSize bool         // and it is a physical size
	m       paths.Affine // from the root's user units to page mm
	view    view
}

// page reads the root's size and viewBox.
func (r *reader) page() (page, *fault.Error) {
	n := r.root
	r.css.Prepare(n) // a style may set the size
	w, bad := r.side(n, "width")
	if bad != nil {
		return page{}, bad
	}
	h, bad := r.side(n, "height")
	if bad != nil {
		return page{}, bad
	}
	b, hasBox := r.viewBox(n)
	if hasBox && (b.w == 0 || b.h == 0) {
		return page{}, fault.Bad(r.where(n), "give the viewBox a width and a height", "the viewBox has no area, so nothing is to be drawn")
	}
	p := page{w: w.mm, h: h.mm, hasSize: w.mm > 0 || h.mm > 0, m: paths.Identity()}
	switch {
	case hasBox:
		p.spread(b, n.attr("preserveAspectRatio"))
	case p.hasSize:
		p.m = paths.Scale(mm["px"], mm["px"])
		p.view = view{w: w.mm / mm["px"], h: h.mm / mm["px"]}
	}
	if !hasBox && (w.mm == 0 || h.mm == 0) {
		// The page has no size, but percentages need one: a picture without a
		// size is taken as 300 x 150 px (CSS 2.1, 10.3.2).
		p.w, p.h = 0, 0
		p.view = view{w: 300, h: 150}
	}
	if !shape.InRange(paths.Point{X: p.w, Y: p.h}) {
		return page{}, fault.Bad(r.where(n), "give the drawing its true size", "the page is larger than %g mm, the most that is read", float64(shape.Farthest))
	}
	if w.pixels || h.pixels {
		r.notes.add(n, "size-in-pixels",
			"The size is given in pixels: 96 to the inch are taken, which makes the page %s. Some older programs mean 90 or 72 to the inch, so check a length that you know.", p.size())
	}
	return p, nil
}

// spread fits the viewBox to the page. One length alone fixes the other by the
// proportions of the viewBox; with none a unit is a millimetre.
func (p *page) spread(b box, aspect string) {
	switch {
	case p.w == 0 && p.h == 0:
		p.w, p.h = b.w, b.h
	case p.w == 0:
		p.w = p.h * b.w / b.h
	case p.h == 0:
		p.h = p.w * b.h / b.w
	}
	p.m = fit(b, aspect, p.w, p.h)
	p.view = view{w: b.w, h: b.h}
}

func (p *page) size() string {
	if p.w == 0 || p.h == 0 {
		return "so many units of 25.4/96 mm"
	}
	return fmt.Sprintf("%.1f x %.1f mm", p.w, p.h)
}

// side is the root's width or height.
type side struct {
	mm     float64 // 0 when the file does not say
	pixels bool    // it is in px, by name or because it has no unit
}

func (r *reader) side(n *node, name string) (side, *fault.Error) {
	text := strings.TrimSpace(n.geometry(name))
	if text == "" || text == "auto" {
		return side{}, nil
	}
	l, ok := css.ParseLength(text)
	if !ok {
		r.notes.add(n, "size-unreadable", "The %s %q is not a length; it is left out of account.", name, lex.Excerpt(text))
		return side{}, nil
	}
	if l.Unit == "%" {
		return side{}, nil
	}
	per, absolute := mm[l.Unit]
	if !absolute {
		l, per = css.Length{Value: l.In(0, css.DefaultFontSize)}, mm["px"]
	}
	if l.Value <= 0 {
		return side{}, fault.Bad(r.where(n), "give the drawing its true size", "the %s of the page is %s", name, lex.Excerpt(text))
	}
	return side{mm: l.Value * per, pixels: l.Unit == "" || l.Unit == "px"}, nil
}

// measure returns a length of n, zero with a note when it cannot be read.
func (r *reader) measure(n *node, name string) css.Length {
	l, err := n.length(name)
	if err != nil {
		r.notes.add(n, "length-unreadable", "One of its lengths counts as zero: %v.", err)
	}
	return l
}

// extent returns the width or height of an inner viewport, 100% when it is not
// given or negative, which is an error and ignored.
func (r *reader) extent(n *node, name string) css.Length {
	if l := r.measure(n, name); !l.IsNegative() && !n.isAuto(name) {
		return l
	}
	return css.Length{Value: 100, Unit: "%"}
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

// transform returns the map that n sets for itself, in a viewport of the given view. One
// that is in error is noted and ignored.
func (r *reader) transform(n *node, v view) paths.Affine {
	text, ok := n.state.Property("transform")
	if !ok {
		text, ok = n.lookup("transform")
	}
	if !ok || text == "none" {
		return paths.Identity()
	}
	m, err := shape.ParseTransform(text)
	if err != nil {
		r.notes.add(n, "transform-unreadable", "Its transform is left out of account: %v.", err)
	}
	origin, given := n.state.Property("transform-origin")
	if !given {
		return m
	}
	box, ok := r.transformBox(n, v)
	o, read := parseOrigin(origin, box, v.em)
	if !ok || !read {
		r.notes.add(n, "transform-origin-not-read", "Its transform-origin %q is left out of account; it may lie elsewhere.", lex.Excerpt(origin))
		return m
	}
	return paths.Translate(o.Mul(-1)).Then(m).Then(paths.Translate(o))
}

// transformBox returns the box that the transform-origin of n refers to (CSS Transforms 1,
// 9): that of the viewport, or of what n draws. ok is false for one with the width of lines.
func (r *reader) transformBox(n *node, v view) (box paths.Rect, ok bool) {
	kind, _ := n.state.Property("transform-box")
	switch strings.ToLower(kind) {
	case "", "view-box":
		return paths.RectOf(paths.Point{}, paths.Point{X: v.w, Y: v.h}), true
	case "fill-box", "content-box":
		box = r.boxOf(n, paths.Identity(), v, 0)
		return box, !box.IsEmpty()
	}
	return box, false
}

// parseOrigin reads the origin of a transform (CSS Transforms 1, 8) in a box: one or two
// lengths, parts of the box or sides of it, in either order if they are sides. A third
// value, the depth, means nothing here.
func parseOrigin(text string, box paths.Rect, em float64) (paths.Point, bool) {
	f := strings.Fields(strings.ToLower(text))
	if len(f) == 3 {
		f = f[:2]
	}
	if len(f) == 1 {
		f = append(f, "center")
	}
	if len(f) != 2 {
		return paths.Point{}, false
	}
	across, along := map[string]float64{"left": 0, "center": 0.5, "right": 1}, map[string]float64{"top": 0, "center": 0.5, "bottom": 1}
	if _, ok := across[f[0]]; !ok {
		if _, swapped := along[f[0]]; swapped {
			f[0], f[1] = f[1], f[0]
		}
	} else if _, ok := across[f[1]]; ok && f[1] != "center" { // "center left"
		f[0], f[1] = f[1], f[0]
	}
	x, okX := originIn(f[0], across, box.Min.X, box.Width(), em)
	y, okY := originIn(f[1], along, box.Min.Y, box.Height(), em)
	return paths.Point{X: x, Y: y}, okX && okY
}

// originIn reads one value of an origin: a side, or a length from the side of the box.
func originIn(text string, sides map[string]float64, from, size, em float64) (float64, bool) {
	if part, ok := sides[text]; ok {
		return from + part*size, true
	}
	l, ok := css.ParseLength(text)
	return from + l.In(size, em), ok
}
