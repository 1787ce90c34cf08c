package svg

import (
	"math"

	"weftplot/paths"
)

// Drawing programs lay a filled rectangle as large as the page under a drawing, for
// the paper. Its edge is no line of the drawing.

// paperSlack is by how much of the page's sides the paper's may differ.
const paperSlack = 0.005

// isPaper reports whether the outlines of a filled shape, the first that is drawn,
// are the page's own rectangle.
func (r *reader) isPaper(c *context, outlines []paths.Stroke) bool {
	if len(r.drawn) > 0 || r.paper != nil || len(outlines) != 1 || r.pageBox.IsEmpty() {
		return false
	}
	slack := paperSlack * max(r.pageBox.Width(), r.pageBox.Height())
	// Drawing programs clip all by the page, which hides nothing of it.
	if inner := r.pageBox.Grow(-2 * slack); c.clip != nil && !(c.clip.Uniform(inner) && c.clip.Contains(inner.Centre())) {
		return false
	}
	box, area := outlines[0].Bounds(), 0.
	for _, c := range outlines[0] {
		l, ok := c.(paths.Line)
		if !ok {
			return false
		}
		area += l.A.Cross(l.B) / 2
	}
	return math.Abs(math.Abs(area)-box.Width()*box.Height()) <= 1e-6*box.Width()*box.Height() &&
		r.pageBox.Min.Dist(box.Min) <= slack && r.pageBox.Max.Dist(box.Max) <= slack
}

// paper is a shape that was taken for the paper, as it would be drawn.
type paper struct {
	n     *node
	inked []inked
}

// takeForPaper leaves the outline of n undrawn. Its colour is still that of what lies
// under the drawing.
func (r *reader) takeForPaper(n *node, c *context, k look, outlines []paths.Stroke) {
	first := len(r.drawn)
	r.ink(n, c, k, outlines)
	r.paper = &paper{n, append([]inked(nil), r.drawn[first:]...)}
	r.drawn = r.drawn[:first]
	// It goes on under what reaches beyond the page.
	under := r.pageBox.Grow(max(r.pageBox.Width(), r.pageBox.Height()))
	r.cover(n, c, k, []paths.Stroke{paths.Polyline(under.Min, paths.Point{X: under.Max.X, Y: under.Min.Y}, under.Max, paths.Point{X: under.Min.X, Y: under.Max.Y}, under.Min)}, first)
	if m := len(r.covers); m > 0 {
		r.covers[m-1].Undrawn = true
	}
	if r.outlined--; r.firstFilled == n {
		r.firstFilled = nil
	}
}

// settlePaper draws the paper after all where nothing else is drawn, and else says
// that it is not.
func (r *reader) settlePaper() {
	switch {
	case r.paper == nil:
	case len(r.drawn) == 0:
		r.drawn = r.paper.inked
		r.outlined, r.firstFilled, r.covers = 1, r.paper.n, nil
	default:
		r.notes.add(r.paper.n, "paper-not-drawn", "It is filled, as large as the page, and lies under all else: it is taken for the paper, and its edge is not drawn. Give it a stroke if that is to be drawn.")
	}
}
