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
