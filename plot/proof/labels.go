package proof

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// labels returns the words inside the drawing, none of which touches another.
// They are placed in order of importance. One that finds no room is left out of
// the drawing, but is still in the legend.
func (l *layout) labels() *group {
	g := &group{id: "labels"}
	l.channelNumbers(g)
	l.endLabels(g)
	l.noteMarkers(g)
	l.regionLabels(g)
	l.edgeLabels(g)
	l.strokeNumbers(g)
	return g
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
		drop := (typeface.Ascent - typeface.Descent) / 2 * size
		cands := []words{
			{at: paths.Point{X: at.X + gap, Y: at.Y + drop}},
			{at: paths.Point{X: at.X - gap, Y: at.Y + drop}, anchor: anchorEnd},
			{at: paths.Point{X: at.X - gap - 1.3*l.em, Y: at.Y + drop}, anchor: anchorEnd}, // clear of a stroke number
			{at: paths.Point{X: at.X, Y: at.Y - gap}, anchor: anchorMiddle},
			{at: paths.Point{X: at.X, Y: at.Y + gap + typeface.Ascent*size}, anchor: anchorMiddle},
			{at: paths.Point{X: at.X - gap, Y: at.Y - gap}, anchor: anchorEnd},
			{at: paths.Point{X: at.X + gap, Y: at.Y - gap}},
			{at: paths.Point{X: at.X - gap, Y: at.Y + gap + typeface.Ascent*size}, anchor: anchorEnd},
			{at: paths.Point{X: at.X + gap, Y: at.Y + gap + typeface.Ascent*size}},
		}
		for i := range cands {
			c := &cands[i]
			c.text, c.size, c.bold, c.colour, c.halo = e.name, size, true, darkText, true
		}
		if !l.putWhere(g, cands, l.isClear) && !l.putAside(g, at, cands[0]) {
			l.putFirst(g, cands)
		}
	}
}

// putAside puts w away from the place that it names, where there are no lines,
// and draws a thin line from there to the place.
func (l *layout) putAside(g *group, at paths.Point, w words) bool {
	w.anchor = anchorMiddle
	for _, c := range ring(at, 1.6*l.em)[1:] {
		w.at = c.Add(paths.Point{Y: (typeface.Ascent - typeface.Descent) / 2 * w.size})
		box := w.box()
		if !l.isClear(box) || !l.put(g, w) {
			continue
		}
		foot := nearest(box, at)
		if gap := foot.Sub(at); gap.Len() > 1.5*markerSize*l.em {
			from := at.Add(gap.Unit().Mul(1.5 * markerSize * l.em))
			g.add(shape{[]paths.Stroke{paths.Polyline(from, foot)}, &look{stroke: darkText, width: 0.07 * l.em}})
		}
		return true
	}
	return false
}

// nearest returns the point of r that is nearest to p.
func nearest(r paths.Rect, p paths.Point) paths.Point {
	return paths.Point{
		X: math.Min(math.Max(p.X, r.Min.X), r.Max.X),
		Y: math.Min(math.Max(p.Y, r.Min.Y), r.Max.Y),
	}
}

// maxNotes is how many notes are shown unless every note is asked for; the rest
// are counted.
const maxNotes = 24

// shownNotes returns the notes that are shown.
func (l *layout) shownNotes() []Note {
	if l.scene.EveryNote {
		return l.scene.Notes
	}
	return l.scene.Notes[:min(len(l.scene.Notes), maxNotes)]
}

// noteMarkers puts a numbered disc beside the place of each note, if possible
// where it hides no line, and draws a thin line to the place.
func (l *layout) noteMarkers(g *group) {
	r := 0.72 * l.em
	leaders, discs := &group{}, &group{}
	defer func() { g.add(append(leaders.nodes, discs.nodes...)...) }()
	for i, n := range l.shownNotes() {
		if n.At == nil {
			continue
		}
		at := l.toPage.Apply(*n.At)
		c, ok := l.noteSpot(at, r)
		if !ok {
			continue
		}
		if c != at {
			leaders.add(shape{[]paths.Stroke{paths.Polyline(at, c)}, &look{stroke: vermillion, width: 0.09 * l.em}})
			leaders.add(shape{[]paths.Stroke{{paths.Circle(at, 0.2*l.em)}}, &look{fill: vermillion}})
		}
		discs.add(noteDisc(c, r, i+1, l.em)...)
	}
}

// noteSpot finds and reserves a spot for a disc of radius r near a place, or
// the nearest one with room.
func (l *layout) noteSpot(at paths.Point, r float64) (paths.Point, bool) {
	free := func(c paths.Point) (paths.Rect, bool) {
		box := paths.RectOf(c).Grow(r + 0.1*l.em)
		return box, inside(l.view, box) && !l.isTaken(box)
	}
	spots := ring(at, 1.6*l.em)
	for _, clear := range []bool{true, false} {
		for _, c := range spots {
			if box, ok := free(c); ok && (!clear || l.isClear(box)) {
				l.taken = append(l.taken, box)
				return c, true
			}
		}
	}
	for _, c := range l.anywhere(at, 2.2*r) {
		if box, ok := free(c); ok {
			l.taken = append(l.taken, box)
			return c, true
		}
	}
	return at, false
}

// anywhere returns spots all over the view, a step apart, those nearest to p
// first.
func (l *layout) anywhere(p paths.Point, step float64) []paths.Point {
	var out []paths.Point
	for y := l.view.Min.Y + step/2; y < l.view.Max.Y; y += step {
		for x := l.view.Min.X + step/2; x < l.view.Max.X; x += step {
			out = append(out, paths.Point{X: x, Y: y})
		}
	}
	slices.SortStableFunc(out, func(a, b paths.Point) int { return cmp.Compare(a.Dist(p), b.Dist(p)) })
	return out
}

// noteDisc is the marker of note n: a number in a rimmed disc.
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
		cands := besideCorners(l.onPage(e.stroke), size, typeface.Width(e.label, size, false), e.look.width/2)
		for i := range cands {
			cands[i].text, cands[i].size, cands[i].colour, cands[i].halo = e.label, size, e.colour, true
		}
		l.putFirst(g, cands)
	}
}

// channelNumbers numbers every tenth channel, or fewer, at its lower or left
// end.
func (l *layout) channelNumbers(g *group) {
	size := numberSize * l.em
	gap := (markerSize + 0.1) * l.em // so that the marker of the start hides none
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
			t.at = paths.Point{X: at.X, Y: at.Y + gap + typeface.Ascent*size}
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
