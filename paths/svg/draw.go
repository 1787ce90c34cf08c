package svg

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
)

// thinnest is the least width in mm that a stroke is given, so that one scaled
// down to nothing still differs from the outline of a fill, whose width is 0.
const thinnest = 1e-6

// look is how a shape is painted, as far as it decides what is drawn.
type look struct {
	stroked, filled bool // drawn as its line; drawn as the outline of its fill
	colour          string
	width           float64 // mm
	server          *node   // the gradient or pattern of the stroke, else of the fill
	// The fill of any shape, stroked or not: its colour, "" for none, and
	// whether what lies under it shows through.
	cover string
	sheer bool
}

// lookOf returns how a shape shows in its context.
func (r *reader) lookOf(n *node, c *context) look {
	s := &c.style
	var k look
	fill, ok := r.seen(s.Fill, s)
	if ok && s.FillOpacity > 0 && n.name != "line" {
		k.filled, k.colour, k.server = true, fill.colour, fill.server
		k.cover, k.sheer = css.Canonical(fill.colour), c.sheer || fill.alpha*s.FillOpacity < 1
	}
	width := c.view.diagonal(s.StrokeWidth)
	if stroke, ok := r.seen(s.Stroke, s); ok && width > 0 && s.StrokeOpacity > 0 {
		scale := c.m.MeanScale()
		if s.Own.VectorEffect == "non-scaling-stroke" {
			scale = r.pxSize
		}
		k.stroked, k.filled = true, false
		k.colour, k.server = stroke.colour, stroke.server
		k.width = min(max(width*scale, thinnest), shape.Farthest)
	}
	return k
}

// shownPaint is a paint with its opacity and reference resolved.
type shownPaint struct {
	colour string
	server *node   // the gradient or pattern, when the file holds it
	alpha  float64 // how much it hides of what lies under it; 0.5 for a gradient, where that is unknown
}

// seen returns how a paint shows, and whether it shows at all.
func (r *reader) seen(p css.Paint, s *css.Style) (shownPaint, bool) {
	switch p.Kind {
	case css.ColourPaint:
		return shownPaint{colour: p.Text, alpha: p.Alpha}, p.Alpha > 0
	case css.CurrentPaint:
		alpha, _ := css.ParseColour(s.Colour)
		return shownPaint{colour: s.Colour, alpha: alpha}, alpha > 0
	case css.ServerPaint:
		if n := r.byID[p.Server]; n != nil && paintServers[n.name] {
			return shownPaint{colour: p.Text, server: n, alpha: 0.5}, true
		}
		if p.Fallback != nil {
			return r.seen(*p.Fallback, s)
		}
	}
	return shownPaint{}, false
}

var paintServers = map[string]bool{
	"linearGradient": true, "radialGradient": true, "pattern": true, "meshgradient": true, "meshGradient": true,
	"hatch": true, "solidcolor": true, "solidColor": true,
}

// visible returns how a shape shows, and whether it does; if it does not, it is
// noted or counted.
func (r *reader) visible(n *node, c *context) (look, bool) {
	if c.style.Visibility != "visible" {
		r.notes.add(n, "hidden", "It is hidden (visibility is %s), so it is not drawn.", lex.Excerpt(c.style.Visibility))
		return look{}, false
	}
	k := r.lookOf(n, c)
	if !k.stroked && !k.filled {
		r.countUnpainted(n)
		return look{}, false
	}
	return k, true
}

// shape draws one shape.
func (r *reader) shape(n *node, c context) {
	k, ok := r.visible(n, &c)
	if !ok {
		return
	}
	p := shape.Pen{Map: c.m, Tolerance: r.opt.Tolerance, Budget: &r.left}
	if problem := r.outline(n, &p, c.view); problem != nil && !p.Spent() {
		r.notes.add(n, "shape-damaged", "It is drawn only as far as it can be read: %v.", problem)
	}
	r.render(n, &c, k, &p)
}

// render puts what a pen has drawn of n on the page.
func (r *reader) render(n *node, c *context, k look, p *shape.Pen) {
	if !r.spend(n, 0) {
		return
	}
	if p.Lost > 0 {
		r.notes.add(n, "out-of-range", "%d of its lines lie farther out than %g mm or at no number at all, and are not drawn.", p.Lost, float64(shape.Farthest))
	}
	strokes := p.Strokes
	if k.filled {
		strokes = outlines(strokes)
		if len(strokes) == 0 {
			r.countUnpainted(n)
			return
		}
		if shapeNames[n.name] { // letters are noted elsewhere
			if r.outlined++; r.firstFilled == nil {
				r.firstFilled = n
			}
		}
	}
	r.remarks(n, c, k)
	if r.veil != nil {
		r.intoVeil(n, c, k, p)
		return
	}
	if k.filled && r.isPaper(c, strokes) {
		r.takeForPaper(n, c, k, strokes)
		return
	}
	area := strokes
	if k.stroked && r.opt.Dashes {
		strokes = r.dashed(n, c, strokes)
	}
	first := len(r.drawn)
	if k.filled {
		strokes = r.clipFill(n, c, strokes)
	} else {
		strokes = r.cut(n, c, strokes)
	}
	r.ink(n, c, k, strokes)
	r.cover(n, c, k, area, first)
}

// ink puts the strokes of a shape on the page.
func (r *reader) ink(n *node, c *context, k look, strokes []paths.Stroke) {
	for _, s := range strokes {
		r.drawn = append(r.drawn, inked{
			DesignStroke: paths.DesignStroke{
				Stroke: s, Element: n.name, Line: n.line, Width: k.width, Colour: k.colour, Filled: k.filled,
			},
			layer: c.layer, group: c.group,
		})
	}
}

// countUnpainted counts a shape without paint; drawing programs keep such
// shapes for their own use.
func (r *reader) countUnpainted(n *node) {
	if r.unpainted++; r.firstUnpainted == nil {
		r.firstUnpainted = n
	}
}

// outlines returns the outlines of a filled shape: each subpath closed, as
// filling closes it, and those without any area left out.
func outlines(strokes []paths.Stroke) []paths.Stroke {
	var out []paths.Stroke
	for _, s := range strokes {
		if s.IsDot() {
			continue
		}
		if s.Start() != s.End() {
			s = append(s[:len(s):len(s)], paths.Line{A: s.End(), B: s.Start()})
		}
		if !isFlat(s) {
			out = append(out, s)
		}
	}
	return out
}

// isFlat reports whether all of s lies on one straight line, so that filling it
// shows nothing.
func isFlat(s paths.Stroke) bool {
	a, far := s.Start(), s.Start()
	for _, c := range s {
		l, ok := c.(paths.Line)
		if !ok {
			return false
		}
		if a.Dist(l.B) > a.Dist(far) {
			far = l.B
		}
	}
	dir := far.Sub(a).Unit()
	for _, c := range s {
		if math.Abs(dir.Cross(c.End().Sub(a))) > 1e-9*(1+a.Dist(far)) {
			return false
		}
	}
	return true
}

// remarks notes what of a shape's look a pen does not draw.
func (r *reader) remarks(n *node, c *context, k look) {
	if k.server != nil {
		what := "stroke"
		if k.filled {
			what = "fill"
		}
		r.notes.add(n, "paint-not-drawn", "Its %s is a %s, of which only the line is drawn.", what, k.server.name)
	}
	if k.stroked && css.IsDashed(c.style.DashArray) && !r.opt.Dashes {
		r.notes.add(n, "dashes-drawn-whole", "Its line is dashed; it is drawn whole.")
	}
	for _, m := range c.style.Markers {
		id, _, ok := css.URL(m)
		if target := r.byID[id]; ok && target != nil && target.name == "marker" && n.name != "rect" && n.name != "circle" && n.name != "ellipse" {
			r.notes.add(n, "marker-not-drawn", "The markers on its line (arrow heads and the like) are not drawn.")
		}
	}
	for _, child := range n.children {
		switch child.name {
		case "animate", "animateTransform", "animateMotion", "animateColor", "set":
			r.notes.add(n, "animation-not-drawn", "It is animated; it is drawn as it stands at first.")
		}
	}
}

// effects notes what changes the look of n with all that is in it.
func (r *reader) effects(n *node, c *context) {
	c.sheer = c.sheer || c.style.Own.Opacity < 1
	if id, _, ok := css.URL(c.style.Own.Filter); ok && r.byID[id] != nil {
		r.notes.add(n, "filter-not-applied", "A filter is not applied; the lines are drawn as they are without it.")
		c.sheer = true
	}
	r.clipBy(n, c)
	r.maskBy(n, c)
}

// summary notes, once for the file, how many shapes were drawn as outlines or
// left out because they have no paint.
func (r *reader) summary() {
	if n := r.firstFilled; n != nil && !r.opt.Unite && r.stop == nil {
		r.notes.add(n, "fills-as-outlines", "%s only filled, and drawn as the outline of the fill; this is the first.%s", count(r.outlined, "shape is", "shapes are"), r.overlapAdvice())
	}
	if n := r.firstUnpainted; n != nil {
		r.notes.add(n, "no-paint", "%s neither fill nor stroke to be seen, and not drawn; this is the first.", count(r.unpainted, "shape has", "shapes have"))
	}
}

// dashed returns the strokes of n cut into their dashes. Lengths along the line
// are measured on the page. Where a transform stretches one way more than the
// other, the dashes are scaled by its mean scale.
func (r *reader) dashed(n *node, c *context, strokes []paths.Stroke) []paths.Stroke {
	list := css.DashList(c.style.DashArray)
	if len(list) == 0 {
		return strokes
	}
	total := paths.LengthOf(strokes)
	scale := c.m.MeanScale()
	if v, ok := css.ParseLength(n.attr("pathLength")); ok && v.Unit == "" && v.Value > 0 {
		scale = total / v.Value
	}
	pattern, sum := make([]float64, len(list)), 0.
	for i, l := range list {
		pattern[i] = c.view.diagonal(l) * scale
		sum += pattern[i]
	}
	if !(sum > 0) || !lex.Finite(sum) {
		return strokes
	}
	pieces := (total/sum + float64(len(strokes))) * float64(len(list)/2)
	if !(pieces < float64(r.left)) {
		r.halt(n, "its dashes come to more than %d pieces of line, the most that are read", r.opt.MaxCurves)
		return nil
	}
	out := shape.Dash(strokes, pattern, c.view.diagonal(c.style.DashOffset)*scale)
	r.left -= len(out)
	return out
}
