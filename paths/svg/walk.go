package svg

import (
	"strings"

	"weftplot/paths"
	"weftplot/paths/outline"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
)

// context is what an element inherits from those around it.
type context struct {
	m            paths.Affine // user units to page mm
	view         view
	style        css.Style
	layer, group *node       // the nearest layer; the group just below the root
	clip         *shape.Clip // the part that shows, nil for all
	sheer        bool        // it is translucent: what lies under it may show through
	depth        int
}

// undrawn are elements whose content is drawn only through a reference, if at
// all.
var undrawn = map[string]bool{
	"defs": true, "symbol": true, "clipPath": true, "mask": true, "pattern": true, "marker": true,
	"linearGradient": true, "radialGradient": true, "meshgradient": true, "meshGradient": true, "hatch": true,
	"solidcolor": true, "solidColor": true, "filter": true, "style": true, "script": true, "title": true,
	"desc": true, "metadata": true, "view": true, "cursor": true, "font": true, "font-face": true,
	"color-profile": true, "animate": true, "animateTransform": true, "animateMotion": true,
	"animateColor": true, "set": true, "discard": true, "link": true,
}

// pictures are elements that show something a pen does not draw.
var pictures = map[string]struct{ code, message string }{
	"text":          {"text-not-drawn", "Text is not drawn; turn it into paths in the drawing program."},
	"flowRoot":      {"text-not-drawn", "Flowed text is not drawn; turn it into paths in the drawing program."},
	"image":         {"image-not-drawn", "A picture is not drawn; trace its lines first."},
	"foreignObject": {"foreign-object-not-drawn", "What another language describes is not drawn."},
	"video":         {"image-not-drawn", "A film is not drawn."},
	"canvas":        {"image-not-drawn", "A canvas is not drawn."},
	"iframe":        {"foreign-object-not-drawn", "A page within the page is not drawn."},
}

// walkRoot draws the whole file.
func (r *reader) walkRoot(pg page) {
	r.left, r.pxSize = r.opt.MaxCurves, mm["px"]
	if !pg.hasSize {
		r.pxSize = 1
	}
	r.pageBox = paths.EmptyRect()
	if pg.w > 0 && pg.h > 0 {
		r.pageBox = paths.RectOf(paths.Point{}, paths.Point{X: pg.w, Y: pg.h})
	}
	r.open, r.clips, r.masks = map[*node]bool{}, map[clipKey]builtClip{}, map[maskKey]builtClip{}
	r.drawn = make([]inked, 0, r.sketches)
	r.windows, r.regions = map[*shape.Clip]*outline.Window{}, map[*shape.Area]*outline.Region{}
	initial := css.Initial()
	c := context{m: pg.m, view: pg.view, style: r.css.Style(r.root, &initial)}
	c.view.em = c.style.FontSize
	if r.hidden(r.root, &c.style) {
		return
	}
	r.effects(r.root, &c)
	r.children(r.root, c)
	r.settlePaper()
	r.summary()
}

func (r *reader) children(n *node, c context) {
	c.depth++
	r.open[n] = true
	for _, child := range n.children {
		if r.stop != nil {
			break
		}
		r.element(child, c)
	}
	delete(r.open, n)
}

// element draws n with all that is in it, under the context of its parent.
func (r *reader) element(n *node, c context) {
	if n.name == "" || undrawn[n.name] || !r.afford(n, c.depth) {
		return
	}
	if !r.enter(n, &c) {
		return
	}
	r.effects(n, &c)
	c.inLayer(n)
	switch {
	case shapeNames[n.name]:
		r.shape(n, c)
	case n.name == "g" || n.name == "a":
		r.children(n, c)
	case n.name == "svg":
		w, h := c.view.x(r.extent(n, "width")), c.view.y(r.extent(n, "height"))
		at := paths.Point{X: c.view.x(r.measure(n, "x")), Y: c.view.y(r.measure(n, "y"))}
		r.viewport(n, c, at, w, h)
	case n.name == "use":
		r.use(n, c)
	case n.name == "switch":
		r.switchTo(n, c)
	case n.name == "text":
		r.text(n, c)
	default:
		r.notDrawn(n, &c.style)
	}
}

// enter changes the context around n into that of n itself, and reports whether
// anything of n can show; if nothing can, that is noted.
func (r *reader) enter(n *node, c *context) bool {
	if !conditionsMet(n) {
		r.notes.add(n, "condition-not-met", "It is for another language or program, so it is not drawn.")
		return false
	}
	c.style = r.css.Style(n, &c.style)
	c.view.em = c.style.FontSize
	if r.hidden(n, &c.style) {
		return false
	}
	c.m = r.transform(n, c.view).Then(c.m)
	if d := c.m.Det(); d == 0 || !lex.Finite(d) {
		if draws(n) {
			r.notes.add(n, "no-extent", "Its transform leaves it without width or height, so it is not drawn.")
		}
		return false
	}
	return true
}

// afford counts a visit to n against the bounds, and reports whether they hold.
func (r *reader) afford(n *node, depth int) bool {
	r.visits++
	r.bytes += n.size
	r.told(min(1, parsed+(1-parsed)*float64(r.visits)/float64(r.elements)), 0) // copies beyond it are in the last part
	switch {
	case r.visits > r.opt.MaxElements:
		r.halt(n, "with every copy there are more than %d elements, the most that are drawn", r.opt.MaxElements)
	case depth > r.opt.MaxDepth:
		r.halt(n, "with every copy elements are nested more than %d deep, the most that is drawn", r.opt.MaxDepth)
	case r.bytes > 4*r.opt.MaxBytes:
		r.halt(n, "with every copy the drawing is longer than %d bytes, the most that is drawn", 4*r.opt.MaxBytes)
	}
	return r.stop == nil
}

// inLayer records n in the context when strokes in it are to be sorted by its
// name: as the nearest layer, or as the named group just below the root.
func (c *context) inLayer(n *node) {
	if n.name != "g" {
		return
	}
	if n.anyAttr("groupmode") == "layer" || n.anyAttr("layer") == "yes" {
		c.layer = n
	}
	if c.depth == 1 && groupName(n) != unlayered {
		c.group = n
	}
}

// notDrawn notes an element that shows something a pen does not draw.
func (r *reader) notDrawn(n *node, s *css.Style) {
	what, ok := pictures[n.name]
	switch {
	case !ok:
		r.notes.add(n, "element-not-known", "The element is not known and not drawn.")
	case s.Visibility != "visible":
	case what.code == "text-not-drawn" && strings.TrimSpace(words(n)) == "":
		// An empty text, as drawing programs leave behind, shows nothing.
	case what.code == "text-not-drawn":
		r.notes.add(n, what.code, "Text is not drawn; name a font to draw it with, or turn it into paths in the drawing program. It reads %q.", words(n))
	default:
		r.notes.add(n, what.code, "%s", what.message)
	}
}

// words returns the beginning of the text in n.
func words(n *node) string {
	var b strings.Builder
	var visit func(*node)
	visit = func(n *node) {
		for _, f := range n.says().flow {
			if b.Len() > 60 {
				return
			}
			if f.child != nil {
				visit(f.child)
				continue
			}
			b.WriteString(f.text[:min(len(f.text), 200)])
			b.WriteByte(' ')
		}
	}
	visit(n)
	return lex.Excerpt(b.String())
}
