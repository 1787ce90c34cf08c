package proof

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// put adds w to g if it is inside the view and free of other labels.
func (l *layout) put(g *group, w words) bool {
	box := w.roomyBox().Grow(0.15 * l.em)
	if !inside(l.view, box) || l.isTaken(box) {
		return false
	}
	l.taken = append(l.taken, box)
	g.add(w)
	return true
}

// roomyBox is the box of w with room for a wider font, in case a viewer has
// another one and ignores the text's length.
func (w words) roomyBox() paths.Rect {
	box := w.box()
	more := 0.125 * box.Width()
	switch w.anchor {
	case anchorStart:
		box.Max.X += more
	case anchorMiddle:
		box = paths.Rect{Min: box.Min.Sub(paths.Point{X: more / 2}), Max: box.Max.Add(paths.Point{X: more / 2})}
	case anchorEnd:
		box.Min.X -= more
	}
	return box
}

func (l *layout) isTaken(box paths.Rect) bool {
	for _, t := range l.taken {
		if overlap(t, box) {
			return true
		}
	}
	return false
}

func inside(outer, r paths.Rect) bool { return outer.Contains(r.Min) && outer.Contains(r.Max) }

func overlap(a, b paths.Rect) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// putFirst puts the first of cands that there is room for: if possible one that
// is on no line, otherwise one that is on no outline, otherwise any.
func (l *layout) putFirst(g *group, cands []words) bool {
	return l.putWhere(g, cands, l.isClear) ||
		l.putWhere(g, cands, func(b paths.Rect) bool { return !l.onEdge(b) }) ||
		l.putWhere(g, cands, func(paths.Rect) bool { return true })
}

// putWhere puts the first of cands that there is room for and whose box is
// good.
func (l *layout) putWhere(g *group, cands []words, good func(paths.Rect) bool) bool {
	for _, c := range cands {
		if good(c.box()) && l.put(g, c) {
			return true
		}
	}
	return false
}

// isClear reports whether box touches no line.
func (l *layout) isClear(box paths.Rect) bool { return !l.onEdge(box) && !l.onInk(box) }

// besideCorners returns places for a label of the given width along the upper
// and lower side of an outline, outside and inside, half a line width clear of
// it.
func besideCorners(outline polyline, size, width, half float64) []words {
	b := outline.box
	near := func(c paths.Point) float64 {
		best := outline.points[0]
		for _, p := range outline.points {
			if p.Dist(c) < best.Dist(c) {
				best = p
			}
		}
		return best.X
	}
	upperLeft, upperRight := near(b.Min), near(paths.Point{X: b.Max.X, Y: b.Min.Y})
	lowerLeft, lowerRight := near(paths.Point{X: b.Min.X, Y: b.Max.Y}), near(b.Max)
	in := 0.5 * size
	var out []words
	upper := func(x float64, above bool) {
		top, _ := outline.over(x, x+width)
		y := top.Min.Y - half - 0.45*size
		if !above {
			y = top.Max.Y + half + (0.4+typeface.Ascent)*size
		}
		out = append(out, words{at: paths.Point{X: x, Y: y}})
	}
	lower := func(x float64, below bool) {
		_, bottom := outline.over(x, x+width)
		y := bottom.Max.Y + half + (0.4+typeface.Ascent)*size
		if !below {
			y = bottom.Min.Y - half - (0.25+typeface.Descent)*size
		}
		out = append(out, words{at: paths.Point{X: x, Y: y}})
	}
	upper(upperLeft, true)
	upper(upperRight-width, true)
	upper(upperLeft+in, false)
	upper(upperRight-in-width, false)
	lower(lowerLeft, true)
	lower(lowerRight-width, true)
	lower(lowerLeft+in, false)
	lower(lowerRight-in-width, false)
	upper((b.Min.X+b.Max.X-width)/2, true)
	lower((b.Min.X+b.Max.X-width)/2, true)
	return out
}

// over returns the boxes of the parts of a closed outline between x0 and x1
// that are above its middle, and below it.
func (o polyline) over(x0, x1 float64) (top, bottom paths.Rect) {
	c := o.box.Centre()
	top, bottom = paths.EmptyRect(), paths.EmptyRect()
	upper := paths.RectOf(paths.Point{X: x0, Y: o.box.Min.Y}, paths.Point{X: x1, Y: c.Y})
	lower := paths.RectOf(paths.Point{X: x0, Y: c.Y}, paths.Point{X: x1, Y: o.box.Max.Y})
	for i := 1; i < len(o.points); i++ {
		if a, b, ok := clipped(o.points[i-1], o.points[i], upper); ok {
			top = top.Include(a).Include(b)
		}
		if a, b, ok := clipped(o.points[i-1], o.points[i], lower); ok {
			bottom = bottom.Include(a).Include(b)
		}
	}
	if top.IsEmpty() {
		top = upper
	}
	if bottom.IsEmpty() {
		bottom = lower
	}
	return top, bottom
}

// onEdge reports whether box touches an outline.
func (l *layout) onEdge(box paths.Rect) bool {
	for _, e := range l.outlines() {
		if len(e.stroke) > 0 && l.onPage(e.stroke).touches(box.Grow(0.1*l.em)) {
			return true
		}
	}
	return false
}

// onInk reports whether box touches a stroke or a travel.
func (l *layout) onInk(box paths.Rect) bool {
	for i := range l.inked {
		if overlap(l.inked[i].box.Grow(l.em), box) && l.inkedLine(i).touches(box.Grow(0.1*l.em)) {
			return true
		}
	}
	return false
}

func (o polyline) touches(box paths.Rect) bool {
	for i := 1; i < len(o.points); i++ {
		if _, _, hit := clipped(o.points[i-1], o.points[i], box); hit {
			return true
		}
	}
	return false
}

// ring returns p and places around it, nearest first.
func ring(p paths.Point, d float64) []paths.Point {
	out := []paths.Point{p}
	for k := 1.0; k <= 5; k++ {
		for i := range 8 {
			sin, cos := math.Sincos(math.Pi/4*float64(i) + 0.4)
			out = append(out, p.Add(paths.Point{X: k * d * cos, Y: -k * d * sin}))
		}
	}
	return out
}
