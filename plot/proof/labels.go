package proof

import (
	"math"
	"strconv"

	"weftplot/paths"
)

// labels returns the words inside the drawing, none of which touches another.
// They are placed in the order of their weight: what finds no room is left out
// of the drawing, and is still in the legend.
func (l *layout) labels() *group {
	g := &group{id: "labels"}
	l.channelNumbers(g)
	l.endLabels(g)
	l.noteMarkers(g)
	l.edgeLabels(g)
	return g
}

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

// roomyBox is the box of w with room for a font an eighth wider, should the
// picture be shown where there is no other and lengths of text are ignored.
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

// endLabels names the start and the end, beside their markers.
func (l *layout) endLabels(g *group) {
	size := labelSize * l.em
	gap := 0.75 * l.em
	for _, e := range []struct {
		p    *paths.Point
		name string
	}{{l.scene.Start, "start"}, {l.scene.End, "end"}} {
		if e.p == nil {
			continue
		}
		at := l.toPage.Apply(*e.p)
		l.taken = append(l.taken, paths.RectOf(at).Grow(1.4*markerSize*l.em))
		drop := (ascent - descent) / 2 * size
		cands := []words{
			{at: paths.Point{X: at.X + gap, Y: at.Y + drop}},
			{at: paths.Point{X: at.X - gap, Y: at.Y + drop}, anchor: anchorEnd},
			{at: paths.Point{X: at.X - gap - 1.3*l.em, Y: at.Y + drop}, anchor: anchorEnd}, // past a number
			{at: paths.Point{X: at.X, Y: at.Y - gap}, anchor: anchorMiddle},
			{at: paths.Point{X: at.X, Y: at.Y + gap + ascent*size}, anchor: anchorMiddle},
			{at: paths.Point{X: at.X - gap, Y: at.Y - gap}, anchor: anchorEnd},
			{at: paths.Point{X: at.X + gap, Y: at.Y - gap}},
			{at: paths.Point{X: at.X - gap, Y: at.Y + gap + ascent*size}, anchor: anchorEnd},
			{at: paths.Point{X: at.X + gap, Y: at.Y + gap + ascent*size}},
		}
		for i := range cands {
			c := &cands[i]
			c.text, c.size, c.bold, c.colour, c.halo = e.name, size, true, darkText, true
		}
		l.putFirst(g, cands)
	}
}

// maxNotes is how many notes are shown; the rest are counted.
const maxNotes = 24

// noteMarkers puts a numbered disc at each note, or beside it with a line to
// the place when the place is taken.
func (l *layout) noteMarkers(g *group) {
	r := 0.72 * l.em
	for i, n := range l.scene.Notes[:min(len(l.scene.Notes), maxNotes)] {
		if n.At == nil {
			continue
		}
		at := l.toPage.Apply(*n.At)
		for _, c := range ring(at, 1.9*l.em) {
			box := paths.RectOf(c).Grow(r + 0.1*l.em)
			if !inside(l.view, box) || l.isTaken(box) {
				continue
			}
			l.taken = append(l.taken, box)
			if c != at {
				g.add(shape{[]paths.Stroke{paths.Polyline(at, c)}, &look{stroke: vermillion, width: 0.09 * l.em}})
				g.add(shape{[]paths.Stroke{{paths.Circle(at, 0.18*l.em)}}, &look{fill: vermillion}})
			}
			g.add(noteDisc(c, r, i+1, l.em)...)
			break
		}
	}
}

// ring returns p and places round it, nearest first.
func ring(p paths.Point, d float64) []paths.Point {
	out := []paths.Point{p}
	for k := 1.0; k <= 4; k++ {
		for i := range 8 {
			sin, cos := math.Sincos(math.Pi/4*float64(i) + 0.4)
			out = append(out, p.Add(paths.Point{X: k * d * cos, Y: -k * d * sin}))
		}
	}
	return out
}

// noteDisc is the sign of note n: a number in a rimmed disc.
func noteDisc(at paths.Point, r float64, n int, em float64) []node {
	size := numberSize * em
	return []node{
		shape{[]paths.Stroke{{paths.Circle(at, r)}}, &look{fill: paper, stroke: vermillion, width: 0.14 * em}},
		words{at: at.Add(paths.Point{Y: 0.36 * size}), anchor: anchorMiddle, text: strconv.Itoa(n), size: size, bold: true, colour: darkText},
	}
}

// edgeLabels names the outlines, each just outside or inside one of its
// corners.
func (l *layout) edgeLabels(g *group) {
	size := labelSize * l.em
	for _, e := range l.outlines() {
		if len(e.stroke) == 0 {
			continue
		}
		cands := besideCorners(l.onPage(e.stroke), size, textWidth(e.label, size, false), e.look.width/2)
		for i := range cands {
			cands[i].text, cands[i].size, cands[i].colour, cands[i].halo = e.label, size, e.colour, true
		}
		l.putFirst(g, cands)
	}
}

// putFirst puts the first of cands that there is room for: one that lies on no
// line if possible, else on no outline, else any.
func (l *layout) putFirst(g *group, cands []words) bool {
	for _, clear := range []func(paths.Rect) bool{
		func(b paths.Rect) bool { return !l.onEdge(b) && !l.onInk(b) },
		func(b paths.Rect) bool { return !l.onEdge(b) },
		func(paths.Rect) bool { return true },
	} {
		for _, c := range cands {
			if clear(c.box()) && l.put(g, c) {
				return true
			}
		}
	}
	return false
}

// besideCorners returns places for a label of the given width along the upper
// and lower side of an outline, outside it and inside, clear of the half width
// of its line.
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
			y = top.Max.Y + half + (0.4+ascent)*size
		}
		out = append(out, words{at: paths.Point{X: x, Y: y}})
	}
	lower := func(x float64, below bool) {
		_, bottom := outline.over(x, x+width)
		y := bottom.Max.Y + half + (0.4+ascent)*size
		if !below {
			y = bottom.Min.Y - half - (0.25+descent)*size
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

// onInk reports whether box touches a stroke or a way of the lifted pen.
func (l *layout) onInk(box paths.Rect) bool {
	for _, line := range l.inked {
		if overlap(line.box.Grow(l.em), box) && line.touches(box.Grow(0.1*l.em)) {
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

// channelNumbers numbers every tenth channel, or fewer, at its lower or left
// end.
func (l *layout) channelNumbers(g *group) {
	size := numberSize * l.em
	gap := (markerSize + 0.1) * l.em // so that the mark of the start hides none
	step := 10
	for i := 0; float64(step)*l.pitch() < 2.4*l.em; i++ {
		step *= []int{2, 5, 2}[i%3] / []int{1, 2, 1}[i%3]
	}
	for _, w := range l.scene.Weave {
		if w.Channel%step != 0 || len(w.Points) == 0 {
			continue
		}
		end := lowerEnd(w)
		at := l.toPage.Apply(end)
		t := words{text: strconv.Itoa(w.Channel), size: size, colour: quietText, anchor: anchorMiddle, halo: true}
		if w.Along {
			t.anchor, t.at = anchorEnd, paths.Point{X: at.X - gap, Y: at.Y + 0.36*size}
		} else {
			t.at = paths.Point{X: at.X, Y: at.Y + gap + ascent*size}
		}
		l.put(g, t)
	}
}

// lowerEnd returns the left end of a channel that runs across the cloth, the
// lower end of one that runs along it.
func lowerEnd(w WeaveLine) paths.Point {
	a, b := w.Points[0], w.Points[len(w.Points)-1]
	if w.Along && b.X < a.X || !w.Along && b.Y < a.Y {
		return b
	}
	return a
}
