package svg

import (
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/paths/outline"
	"weftplot/paths/svg/shape"
)

// cover is a filled area on the page, with the strokes that draw its outline.
type cover struct {
	outline.Fill
	n           *node
	first, last int // its strokes among those drawn; none for a stroked shape
	as          inked
}

// cover records the area that a shape fills. area is the outline of its
// geometry; the strokes drawn of it begin at first.
func (r *reader) cover(n *node, c *context, k look, area []paths.Stroke, first int) {
	if k.cover == "" {
		return
	}
	v := cover{n: n, first: first, last: len(r.drawn)}
	v.as = inked{DesignStroke: paths.DesignStroke{Colour: k.colour}, layer: c.layer, group: c.group}
	v.Fill = outline.Fill{
		Area: outlines(area), EvenOdd: c.style.FillRule == "evenodd",
		Colour: k.cover, Sheer: k.sheer, Window: r.window(c.clip),
	}
	if k.stroked { // its line is drawn, whatever lies over it
		v.first, v.Undrawn = v.last, true
	}
	r.covers = append(r.covers, v)
}

// unite replaces the outlines of filled shapes by the parts that are seen.
func (r *reader) unite() {
	namer := r.layerNamer()
	covers := slices.DeleteFunc(r.covers, func(v cover) bool {
		name, _ := namer(v.as)
		return slices.Contains(r.opt.Skip, name)
	})
	fills := make([]outline.Fill, len(covers))
	box := paths.EmptyRect()
	for i, v := range covers {
		fills[i] = v.Fill
		_, fills[i].Group = namer(v.as)
		box = box.Union(paths.BoundsOf(v.Area))
	}
	seen, err := outline.Seen(fills, outline.Options{Near: nearFor(box), Progress: func(share float64) { r.told(1, share) }})
	if err != nil {
		r.notes.add(r.root, "fills-not-united", "The filled shapes are too many or too intricate to unite; each is drawn with its whole outline.")
		return
	}
	var out []inked
	at, hidden := 0, 0
	for i, v := range covers {
		if v.first == v.last {
			continue
		}
		out = append(out, r.drawn[at:v.first]...)
		for _, s := range seen[i].Lines {
			ink := r.drawn[v.first]
			ink.Stroke = s
			out = append(out, ink)
		}
		if at = v.last; seen[i].Hidden {
			hidden++
		}
	}
	r.drawn = append(out, r.drawn[at:]...)
	r.noteUnited(hidden)
}

// overlapWork bounds the looks at curves that overlapAdvice takes.
const overlapWork = 3_000_000

// overlapAdvice says how much of the outlines of filled shapes lies under other
// fills, or twice, and would not be drawn if they were united; "" for none.
func (r *reader) overlapAdvice() string {
	if len(r.covers) < 2 {
		return ""
	}
	fills := make([]outline.Fill, len(r.covers))
	box, drawn := paths.EmptyRect(), 0.
	for i, v := range r.covers {
		fills[i] = v.Fill
		box = box.Union(paths.BoundsOf(v.Area))
		for _, s := range r.drawn[v.first:v.last] {
			drawn += s.Length()
		}
	}
	seen, err := outline.Seen(fills, outline.Options{Near: nearFor(box), Work: overlapWork})
	if err != nil {
		return " They are so many that not all were held against one another; where they overlap, [unite] draws only the edges that are seen."
	}
	left := 0.
	for i, v := range r.covers {
		if v.first < v.last || r.opt.Unite {
			left += paths.LengthOf(seen[i].Lines)
		}
	}
	if part := 1 - left/drawn; drawn > 0 && part > 0.005 {
		return fmt.Sprintf(" They overlap: %.0f %% of the line lies under other fills or twice, and [unite] leaves that out.", 100*part)
	}
	return ""
}

func (r *reader) noteUnited(hidden int) {
	n := r.firstFilled
	if n == nil {
		return
	}
	also := ""
	if hidden > 0 {
		also = " " + count(hidden, "of them lies", "of them lie") + " wholly within others of their colour or under later shapes, and no line is drawn of it."
	}
	r.notes.add(n, "fills-united", "%s only filled, and drawn as the edges that are seen where colours part; this is the first.%s", count(r.outlined, "shape is", "shapes are"), also)
}

// maxFillWork bounds the looks at curves that clipping fills takes in one file.
const maxFillWork = 60_000_000

// clipFill returns the outline of what a filled shape and its clip have in
// common; area is that of the shape.
func (r *reader) clipFill(n *node, c *context, area []paths.Stroke) []paths.Stroke {
	if c.clip == nil {
		return area
	}
	box := paths.BoundsOf(area)
	if c.clip.Uniform(box) {
		if c.clip.Contains(box.Centre()) {
			return area
		}
		r.clippedAway(n, area, nil)
		return nil
	}
	fill := outline.Fill{Area: area, EvenOdd: c.style.FillRule == "evenodd", Window: r.window(c.clip)}
	seen, err := outline.Seen([]outline.Fill{fill}, outline.Options{Near: nearFor(box), Work: maxFillWork - r.fillWork, Spent: &r.fillWork})
	if err != nil || r.fillWork >= maxFillWork {
		r.halt(n, "the clip paths and masks take too long to apply: their shapes are too many or too intricate")
		return nil
	}
	pieces := 0
	for _, s := range seen[0].Lines {
		pieces += len(s)
	}
	if !r.spend(n, pieces) {
		return nil
	}
	r.clippedAway(n, area, seen[0].Lines)
	return seen[0].Lines
}

// nearFor returns the distance in mm within which points of fills in a box count as
// the same: far below any detail, and above the rounding of coordinates.
func nearFor(box paths.Rect) float64 {
	return min(1e-6, 1e-8*max(box.Width(), box.Height()))
}

// window returns a clip in the form that package outline takes, nil for no
// clip.
func (r *reader) window(c *shape.Clip) *outline.Window {
	if c == nil {
		return nil
	}
	if w, ok := r.windows[c]; ok {
		return w
	}
	w := &outline.Window{Next: r.window(c.Next)}
	for _, s := range c.Shapes {
		region, ok := r.regions[s.Area]
		if !ok {
			region = &outline.Region{Edge: s.Area.Edge, EvenOdd: s.Area.EvenOdd}
			r.regions[s.Area] = region
		}
		w.Shapes = append(w.Shapes, outline.WindowShape{Region: region, Within: r.window(s.Within), Hides: s.Hides})
	}
	r.windows[c] = w
	return w
}
