package svg

import (
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
)

// A mask whose every part is opaque and black or white hides or shows, and nothing
// between: what it leaves to be seen is a region, and it is applied as a clip path is
// (CSS Masking 1, 7 and 8). Any other mask is told and not applied.

// maskKey identifies a mask that was already built: its element, the map of its
// contents, and the box on which it works, in the frame that is mapped to the page.
type maskKey struct {
	n        *node
	contents paths.Affine
	region   paths.Rect
	page     paths.Affine
	alpha    bool
}

// veil is what a mask is built in. While a reader has one, what is painted shows or
// hides, and is not drawn.
type veil struct {
	shapes []shape.ClipShape
	alpha  bool // all that is painted shows, whatever its colour
	soft   bool // a part of it neither shows nor hides
}

// Why a mask cannot be applied, as the end of a sentence; one may also refer to itself.
const (
	badSoft   = "is not all black and white without shades (greys, colours, gradients, parts that let light through)"
	badParts  = "holds what a pen does not draw (pictures, text without a font, filters, markers)"
	badValue  = "is given in a way that is not read"
	badMasked = "has a clip path, mask or filter itself that cannot be applied"
)

// maskBy puts the mask of n, if it has one, into its context. c.m is already that of n.
func (r *reader) maskBy(n *node, c *context) {
	value := c.style.Own.Mask
	id, rest, ok := css.URL(value)
	if value == "none" || value == "" || ok && (r.byID[id] == nil || r.byID[id].name != "mask") {
		return
	}
	bad := badValue
	if ok {
		bad = r.maskTo(r.byID[id], rest, n, c)
	}
	if bad != "" && r.stop == nil {
		r.notes.add(n, "mask-not-applied", "Its mask %s, so it is not applied; lines are drawn that it may hide.", bad)
		c.sheer = true
	}
}

// maskTo puts the mask that target describes into the context of n. bad says why it
// cannot be applied.
func (r *reader) maskTo(target *node, mode string, n *node, c *context) (bad string) {
	if r.open[target] || c.depth > r.opt.MaxDepth {
		return badRecursion
	}
	style := r.styleInPlace(target)
	alpha := style.Own.MaskAlpha
	switch strings.ToLower(mode) {
	case "", "match-source":
	case "alpha", "luminance":
		alpha = strings.EqualFold(mode, "alpha")
	default:
		return badValue
	}
	contents, v := c.m, c.view
	boxed := target.attr("maskContentUnits") == "objectBoundingBox"
	region, ofBox := r.maskRegion(target, n, c)
	if boxed || ofBox {
		b := r.boxOf(n, paths.Identity(), c.view, c.depth)
		if b.IsEmpty() {
			return ""
		}
		unit := paths.Affine{A: b.Width(), D: b.Height(), E: b.Min.X, F: b.Min.Y}
		if ofBox {
			region = paths.Rect{Min: unit.Apply(region.Min), Max: unit.Apply(region.Max)}
		}
		if boxed {
			contents, v = unit.Then(c.m), view{w: 1, h: 1, em: c.view.em}
		}
	}
	key := maskKey{target, contents, region, c.m, alpha}
	one, built := r.masks[key]
	if !built {
		one = r.buildMask(key, context{m: contents, view: v, style: style, depth: c.depth + 1})
		r.masks[key] = one
	}
	if one.bad == "" {
		for a := one.clip; a != nil; a = a.Next {
			c.clip = &shape.Clip{Shapes: a.Shapes, Next: c.clip}
		}
	}
	return one.bad
}

// maskRegion returns the box on which a mask works, in user units of n, or as parts of
// the bounding box of n.
func (r *reader) maskRegion(target, n *node, c *context) (region paths.Rect, ofBox bool) {
	ofBox = target.attr("maskUnits") != "userSpaceOnUse"
	v := c.view
	if ofBox {
		v = view{w: 1, h: 1, em: c.view.em}
	}
	side := func(name, usual string) css.Length {
		if target.isAuto(name) {
			l, _ := css.ParseLength(usual)
			return l
		}
		return r.measure(target, name)
	}
	min := paths.Point{X: v.x(side("x", "-10%")), Y: v.y(side("y", "-10%"))}
	size := paths.Point{X: v.x(side("width", "120%")), Y: v.y(side("height", "120%"))}
	return paths.Rect{Min: min, Max: min.Add(size)}, ofBox
}

// buildMask makes the clip that a mask comes to.
func (r *reader) buildMask(key maskKey, c context) builtClip {
	target := key.n
	if !(key.region.Width() > 0 && key.region.Height() > 0) {
		return builtClip{clip: &shape.Clip{}} // it shows nothing
	}
	p := shape.Pen{Map: key.page, Tolerance: r.opt.Tolerance, Budget: &r.left}
	shape.DrawRect(key.region.Min, key.region.Width(), key.region.Height(), 0, 0, &p)
	if p.Lost > 0 {
		return builtClip{bad: badRange}
	}
	within := &shape.Clip{Shapes: []shape.ClipShape{{Area: r.newArea(target, p.Strokes, false)}}}

	built, notes := r.veiledBy(key, c)
	for _, k := range notes.list {
		switch {
		case slices.Contains(notInMasks, k.code):
			return builtClip{bad: badParts}
		case k.code == "clip-not-applied" || k.code == "mask-not-applied" || k.code == "filter-not-applied":
			return builtClip{bad: badMasked}
		case k.code == "shape-damaged":
			for _, e := range k.noted {
				r.notes.add(e.n, k.code, "As part of a mask it counts only as far as it can be read: %s", lex.Excerpt(e.message))
			}
		}
	}
	if built.soft {
		return builtClip{bad: badSoft}
	}
	return builtClip{clip: &shape.Clip{Shapes: built.shapes, Next: within}}
}

// veiledBy paints the contents of a mask, and returns what they show and hide, and what
// is noted of them.
func (r *reader) veiledBy(key maskKey, c context) (*veil, notebook) {
	before, notes, counted := r.veil, r.notes, r.counted
	defer func() { r.veil, r.notes, r.counted = before, notes, counted }()
	r.veil, r.notes = &veil{alpha: key.alpha}, notebook{}
	r.open[key.n] = true
	defer delete(r.open, key.n)
	c.view.em = c.style.FontSize
	r.effects(key.n, &c)
	r.children(key.n, c)
	return r.veil, r.notes
}

// notInMasks are the notes about parts that are painted and not drawn: a mask that has
// such cannot be applied.
var notInMasks = []string{
	"text-not-drawn", "image-not-drawn", "foreign-object-not-drawn", "element-not-known", "marker-not-drawn",
	"decoration-not-drawn", "letter-missing", "out-of-range",
}

// intoVeil adds what is painted of n to the mask that is being built.
func (r *reader) intoVeil(n *node, c *context, k look, p *shape.Pen) {
	if k.cover != "" {
		r.veiled(n, c, outlines(p.Strokes), c.style.FillRule == "evenodd", k.cover, k.sheer)
	}
	if !k.stroked {
		return
	}
	paint, _ := r.seen(c.style.Stroke, &c.style)
	sheer := c.sheer || paint.alpha*c.style.StrokeOpacity < 1
	brush := shape.Brush{Map: c.m, Cap: c.style.LineCap, Join: c.style.LineJoin, MiterLimit: c.style.MiterLimit}
	if c.style.Own.VectorEffect == "non-scaling-stroke" {
		brush.Map = paths.Identity()
	}
	half := k.width / 2 / brush.Map.MeanScale()
	brush.Map = paths.Scale(half, half).Then(brush.Map)
	area := shape.Painted(r.dashed(n, c, p.Strokes), brush, brushTolerance*r.opt.Tolerance, &r.left)
	if !r.spend(n, 0) {
		return
	}
	r.veiled(n, c, area, false, css.Canonical(paint.colour), sheer)
}

// brushTolerance is how much coarser than other curves those are that a line with a
// width is flattened to: each of its chords is four lines of its outline.
const brushTolerance = 5

// veiled adds a painted area to the mask that is being built.
func (r *reader) veiled(n *node, c *context, area []paths.Stroke, evenOdd bool, colour string, sheer bool) {
	if len(area) == 0 || r.stop != nil {
		return
	}
	shows := true
	if !r.veil.alpha {
		light, known := css.Luminance(colour)
		shows = light > 0.5
		sheer = sheer || !known || light > unlit && light < 1-unlit
	}
	if sheer {
		r.veil.soft = true
		return
	}
	r.veil.shapes = append(r.veil.shapes, shape.ClipShape{Area: r.newArea(n, area, evenOdd), Within: c.clip, Hides: !shows})
}

// unlit is how much light a part of a mask may have and still count as black, or lack
// and still count as white: nobody sees a line that is so faint, or misses so little.
const unlit = 0.05
