package snap

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// The bounds of what moves whole, and of the work of finding out.
const (
	shapeFlat   = 0.05       // mm that a flattened shape may lie off the true one
	shapeTouch  = 0.01       // mm from a curve at which an end is meant to touch it
	shapeBent   = 0.01       // share by which a shape is said to be bent
	shapeSteps  = 2          // steps to each side that another place is looked for
	shapeStep   = 0.35       // channels to a step
	shapeWork   = 4_000_000  // pairs of segments that are compared
	pinLooks    = 20_000_000 // curves looked at beside vertices
	shapeNested = 2000       // shapes that are looked through for others inside them
)

// shape is what moves whole: closed strokes without lines on the weave, with those
// inside them.
type shape struct {
	strokes []int
	box     paths.Rect
	edge    [][]paths.Point // the strokes, flattened
	// pinned is what something else that ends on it asks it to move by, or nil.
	pinned *paths.Point
}

// moveWhole moves rings, discs and other closed shapes without lines on the weave
// as they are, round and unbent, where what is round them stays on its side of
// them. A shape that lies over lines may come to lie over more of them, or fewer.
// One that other lines end on goes where they all go.
func (s *snapper) moveWhole() {
	shapes := s.shapes()
	if len(shapes) == 0 || s.pause.now() {
		return
	}
	w := newSurroundings(s)
	for _, x := range shapes {
		if s.pause.step() {
			return
		}
		if w.settle(x) || len(x.strokes) == 1 {
			continue
		}
		for _, k := range x.strokes {
			if s.isRing(k) {
				w.settle(s.shapeOf(k))
			}
		}
	}
}

// shapeOf returns strokes as a shape.
func (s *snapper) shapeOf(strokes ...int) shape {
	x := shape{strokes: strokes, box: paths.EmptyRect()}
	for _, k := range strokes {
		x.box = x.box.Union(s.strokes[k].Bounds())
		x.edge = append(x.edge, s.strokes[k].Flatten(shapeFlat))
	}
	return x
}

// isRing reports whether a stroke is closed and has no line on the weave, and none
// through holes.
func (s *snapper) isRing(k int) bool {
	e := s.ends[k]
	return len(e) > 0 && e[0][0] == e[len(e)-1][1] && !s.strokes[k].IsDot() && !slices.Contains(s.taken[k], true) &&
		!slices.ContainsFunc(e, func(v [2]int) bool { return s.crossing[v[0]] })
}

// shapes returns what may move whole and is not at rest, each with those inside it,
// the largest first.
func (s *snapper) shapes() []shape {
	var all, out []shape
	pins, ok := s.pins()
	s.hangsOn = make([]bool, len(s.strokes))
	if !ok {
		return nil // nothing is known to be free, so nothing moves whole
	}
	for k := range pins {
		s.hangsOn[k] = len(pins[k]) > 0
	}
	for n := range s.motifs {
		m := &s.motifs[n]
		if len(m.lines[0])+len(m.lines[1]) == 0 && s.isClosedMotif(m) && !s.throughHoles(m) && !slices.ContainsFunc(m.strokes, func(k int) bool { return len(pins[k]) > 0 }) {
			all = append(all, s.shapeOf(m.strokes...))
			continue
		}
		for _, k := range m.strokes {
			if d, ok := s.pinnedBy(pins[k]); ok && s.isRing(k) {
				x := s.shapeOf(k)
				x.pinned = d
				out = append(out, x)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b shape) int {
		return cmp.Compare(b.box.Width()*b.box.Height(), a.box.Width()*a.box.Height())
	})
	alone := len(out)
	for _, x := range all {
		outer := -1
		if len(out) <= shapeNested {
			outer = slices.IndexFunc(out[alone:], func(o shape) bool {
				return o.box.Contains(x.box.Min) && o.box.Contains(x.box.Max) && inside(o.edge, x.edge[0][0])
			})
		}
		if outer < 0 {
			out = append(out, x)
			continue
		}
		o := &out[alone+outer]
		o.strokes, o.edge = append(slices.Clone(o.strokes), x.strokes...), append(o.edge, x.edge...)
	}
	return slices.DeleteFunc(out, s.atRest)
}

// pinnedBy returns the one movement of vertices that a stroke must go with. It is not
// ok where they move differently.
func (s *snapper) pinnedBy(verts []int) (d *paths.Point, ok bool) {
	for _, v := range verts {
		by := s.moved[v].Sub(s.vertices.at[v])
		if d != nil && d.Dist(by) > joint {
			return nil, false
		}
		d = &by
	}
	return d, true
}

// atRest reports whether the maps move all of a shape alike.
func (s *snapper) atRest(x shape) bool {
	if x.pinned != nil {
		return false
	}
	first := x.edge[0][0]
	d := s.carried(first).Sub(first)
	for _, ring := range x.edge {
		for _, p := range ring {
			if s.carried(p).Sub(p).Dist(d) > still {
				return false
			}
		}
	}
	return true
}

// throughHoles reports whether a motif has a line that goes through holes.
func (s *snapper) throughHoles(m *motif) bool {
	return len(s.crossing) > 0 && slices.ContainsFunc(m.strokes, func(k int) bool {
		return slices.ContainsFunc(s.ends[k], func(e [2]int) bool { return s.crossing[e[0]] || s.crossing[e[1]] })
	})
}

// isClosedMotif reports whether a motif has no loose end.
func (s *snapper) isClosedMotif(m *motif) bool {
	ends := map[int]int{}
	for _, k := range m.strokes {
		if len(s.ends[k]) == 0 || s.strokes[k].IsDot() {
			return false
		}
		for _, e := range s.ends[k] {
			ends[e[0]]++
			ends[e[1]]++
		}
	}
	for _, n := range ends {
		if n < 2 {
			return false
		}
	}
	return true
}

// pins returns, by stroke, vertices where it and others meet: those they share, ends of
// others on its curves, and ends of its own on curves of others. It would come apart
// from them if it moved otherwise. Of a ring all are listed, of another stroke one if
// there is any. It is not ok where thousands of lines lie on each other, and the looks
// run out.
func (s *snapper) pins() (out [][]int, ok bool) {
	out = make([][]int, len(s.strokes))
	var curves []paths.Curve
	var of []int // by curve, its stroke
	at := make([][]int, len(s.vertices.at))
	ring := make([]bool, len(s.strokes))
	for i, k := range s.strokes {
		ring[i] = s.isRing(i)
		for _, c := range k {
			curves, of = append(curves, c), append(of, i)
		}
		for _, e := range s.ends[i] {
			for _, v := range e {
				if n := len(at[v]); n == 0 || at[v][n-1] != i {
					at[v] = append(at[v], i)
				}
			}
		}
	}
	wants := func(k, v int) bool {
		n := len(out[k])
		return n == 0 || ring[k] && out[k][n-1] != v
	}
	pin := func(k, v int) {
		if wants(k, v) {
			out[k] = append(out[k], v)
		}
	}
	index := near.NewCurves(len(curves), func(i int) paths.Curve { return curves[i] }, shapeTouch)
	looks := pinLooks
	for v, here := range at {
		if len(here) == 0 {
			continue
		}
		p, met := s.vertices.at[v], len(here) > 1
		index.Near(p, func(c int) bool {
			looks--
			k := of[c]
			if (len(here) > 1 || here[0] != k) && (!met || wants(k, v)) && distance(curves[c], p) <= shapeTouch {
				met = true
				pin(k, v)
			}
			return looks > 0
		})
		if looks <= 0 {
			return nil, false
		}
		if met {
			for _, i := range here {
				pin(i, v)
			}
		}
	}
	return out, true
}

// distance returns how far p lies from a curve, to about shapeTouch/4.
func distance(c paths.Curve, p paths.Point) float64 {
	pts := paths.Stroke{c}.Flatten(shapeTouch / 4)
	d := p.Dist(pts[0])
	for i := 1; i < len(pts); i++ {
		_, x := paths.Line{A: pts[i-1], B: pts[i]}.Nearest(p)
		d = min(d, x)
	}
	return d
}

// surroundings is what lies round shapes, before and after.
type surroundings struct {
	*snapper
	curves        [][2]int // stroke and curve
	cells         *near.Cells
	before, after [][]paths.Point // by curve, flattened when asked for
	drawn         []int           // by curve, how many shapes were settled when after was flattened
	settled       int
	seen          []int
	query         int
	work          int
}

func newSurroundings(s *snapper) *surroundings {
	w := &surroundings{snapper: s, work: shapeWork}
	box := paths.EmptyRect()
	for i, k := range s.strokes {
		for j := range k {
			w.curves = append(w.curves, [2]int{i, j})
			box = box.Union(k[j].Bounds())
		}
	}
	n := len(w.curves)
	w.cells = near.NewCells(box, rowChannels*s.grid.Across, n, func(i int, put func(paths.Rect)) {
		put(s.strokes[w.curves[i][0]][w.curves[i][1]].Bounds())
	})
	w.before, w.after, w.drawn, w.seen = make([][]paths.Point, n), make([][]paths.Point, n), make([]int, n), make([]int, n)
	return w
}

// flat returns curve i before and after, flattened.
func (w *surroundings) flat(i int) (before, after []paths.Point) {
	k, j := w.curves[i][0], w.curves[i][1]
	if w.before[i] == nil {
		w.before[i] = paths.Stroke{w.strokes[k][j]}.Flatten(shapeFlat)
	}
	if w.after[i] == nil || w.whole[k] != nil && w.drawn[i] < w.settled {
		w.after[i], w.drawn[i] = w.redrawOne(k, j).Flatten(shapeFlat), w.settled
	}
	return w.before[i], w.after[i]
}

// settle moves a shape whole, as near to where the maps carry its middle as what is
// round it allows, and reports whether there is such a place.
func (w *surroundings) settle(x shape) bool {
	middle := x.box.Centre()
	places := w.places(middle, w.carried(middle).Sub(middle))
	if x.pinned != nil {
		places = []paths.Point{*x.pinned}
	}
	for _, d := range places {
		if w.allowed(x, d) {
			w.move(x, d)
			w.settled++
			return true
		}
	}
	return false
}

// move moves a shape whole by d.
func (w *surroundings) move(x shape, d paths.Point) {
	for _, k := range x.strokes {
		w.whole[k] = &d
		for _, e := range w.ends[k] {
			for _, v := range e {
				if to := w.vertices.at[v].Add(d); to.Dist(w.moved[v]) > joint { // a pin stays as exact as it is
					w.moved[v] = to
				}
			}
		}
	}
}

// places returns the movements that are tried, the nearest first. In a design that
// is its own mirror image those of a shape are the mirror images of its image's.
func (w *surroundings) places(middle, base paths.Point) []paths.Point {
	side := func(axis weave.Axis) float64 {
		m := w.mirrors[axis]
		at, _ := axis.Split(middle)
		switch {
		case m == nil || at < m.before-joint:
			return 1
		case at > m.before+joint:
			return -1
		}
		return 0
	}
	sx, sy := side(weave.Across)*shapeStep*w.grid.Across, side(weave.Along)*shapeStep*w.grid.Along
	var out []paths.Point
	for i := -shapeSteps; i <= shapeSteps; i++ {
		for j := -shapeSteps; j <= shapeSteps; j++ {
			out = append(out, paths.Point{X: float64(i) * sx, Y: float64(j) * sy})
		}
	}
	slices.SortStableFunc(out, func(a, b paths.Point) int { return cmp.Compare(a.Len(), b.Len()) })
	for i := range out {
		out[i] = out[i].Add(base)
	}
	return slices.Compact(out)
}

// allowed reports whether a shape moved by d stays in the room, and whether all that
// is round it lies to it as it did.
func (w *surroundings) allowed(x shape, d paths.Point) bool {
	if !w.keepsRoom(x.box, d) {
		return false
	}
	moved := make([][]paths.Point, len(x.edge))
	for i, ring := range x.edge {
		for _, p := range ring {
			moved[i] = append(moved[i], p.Add(d))
		}
	}
	over, came := false, false // it lies over a straight, it came to lie over one
	ok := w.around(x, func(i int) bool {
		was, is, keeps := w.lies(x, moved, i)
		if w.isStraight(i) && (was || is) {
			over, came = over || was, came || !was
			keeps = true
		}
		return keeps && w.work > 0
	})
	return ok && (!came || over) && w.work > 0
}

// lies reports whether curve i meets a shape before and after, and whether it lies
// to the shape as it did: meets it, or lies inside or outside of it.
func (w *surroundings) lies(x shape, moved [][]paths.Point, i int) (was, is, keeps bool) {
	before, after := w.flat(i)
	if x.pinned != nil && (onRings(x.edge, before[0]) || onRings(x.edge, before[len(before)-1])) {
		return false, false, true // what ends on it goes with it
	}
	was, is = w.cross(x.edge, before), w.cross(moved, after)
	return was, is, was && is || !was && !is && inside(x.edge, before[0]) == inside(moved, after[0])
}

// keepsRoom reports whether a box that lies in the room does so when moved by d.
func (w *surroundings) keepsRoom(box paths.Rect, d paths.Point) bool {
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		lo, hi, toLo, toHi, ok := w.walls(axis)
		a, _ := axis.Split(box.Min)
		b, _ := axis.Split(box.Max)
		by, _ := axis.Split(d)
		if ok && a >= lo-joint && b <= hi+joint && (a+by < toLo-joint || b+by > toHi+joint) {
			return false
		}
	}
	return true
}

// onRings reports whether p lies on rings.
func onRings(rings [][]paths.Point, p paths.Point) bool {
	for _, ring := range rings {
		for i := 1; i < len(ring); i++ {
			if _, d := (paths.Line{A: ring[i-1], B: ring[i]}).Nearest(p); d <= shapeFlat+shapeTouch {
				return true
			}
		}
	}
	return false
}

// isStraight reports whether curve i is a part of a straight.
func (w *surroundings) isStraight(i int) bool {
	k, j := w.curves[i][0], w.curves[i][1]
	return w.taken[k][j]
}

// around calls f for the curves near a shape that are not its own, until f returns
// false, and reports whether it never did.
func (w *surroundings) around(x shape, f func(i int) bool) bool {
	own := map[int]bool{}
	for _, k := range x.strokes {
		own[k] = true
	}
	w.query++
	box := x.box.Grow((mostMoved + rowChannels) * max(w.grid.Across, w.grid.Along))
	ok := true
	visit := func(items []int32) {
		for _, i := range items {
			if w.seen[i] == w.query || !ok {
				continue
			}
			w.seen[i] = w.query
			if k := w.curves[i][0]; !own[k] {
				ok = f(int(i))
			}
		}
	}
	for y := box.Min.Y; y <= box.Max.Y+w.cells.Side(); y += w.cells.Side() {
		w.cells.Along(paths.Point{X: box.Min.X, Y: y}, paths.Point{X: box.Max.X, Y: y}, 0, visit)
	}
	return ok
}

// cross reports whether a polyline meets rings.
func (w *surroundings) cross(rings [][]paths.Point, line []paths.Point) bool {
	box := paths.RectOf(line...)
	for _, ring := range rings {
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			if !meet(paths.RectOf(a, b), box) {
				continue
			}
			w.work -= len(line)
			for j := 1; j < len(line); j++ {
				if segmentsMeet(a, b, line[j-1], line[j]) {
					return true
				}
			}
		}
	}
	return false
}

func meet(a, b paths.Rect) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}

// segmentsMeet reports whether two segments have a point in common.
func segmentsMeet(a, b, c, d paths.Point) bool {
	side := func(p, q, r paths.Point) float64 { return q.Sub(p).Cross(r.Sub(p)) }
	p, q, r, s := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if p*q < 0 && r*s < 0 {
		return true
	}
	return (p*q <= 0 && r*s <= 0) && meet(paths.RectOf(a, b), paths.RectOf(c, d))
}

// inside reports whether p lies inside rings, by the even-odd rule.
func inside(rings [][]paths.Point, p paths.Point) bool {
	in := false
	for _, ring := range rings {
		for i := range ring {
			a, b := ring[i], ring[(i+1)%len(ring)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				in = !in
			}
		}
	}
	return in
}

// tellBent warns, once, of rings that are bent, and of other closed strokes without
// lines on the weave that nothing else ends on: their width over their height is
// another by more than shapeBent.
func (s *snapper) tellBent(out []paths.Stroke) {
	told, worst, most := 0, -1, 0.
	for i := range s.strokes {
		if s.whole[i] != nil || !s.isRing(i) || s.hangsOn[i] && !s.isRound(i) {
			continue
		}
		if by := bentBy(s.strokes[i].Bounds(), out[i].Bounds()); by > shapeBent {
			told++
			if by > most {
				worst, most = i, by
			}
		}
	}
	if told == 0 {
		return
	}
	was, is := s.strokes[worst].Bounds(), out[worst].Bounds()
	which := "a closed shape without lines on the weave is"
	if told > 1 {
		which = fmt.Sprintf("%d closed shapes without lines on the weave are", told)
	}
	s.warn("shape-bent", is.Centre(), "%s bent, at most from %.1f x %.1f to %.1f x %.1f mm: the lines round it moved and left it no place to stay as it was",
		which, was.Width(), was.Height(), is.Width(), is.Height())
}

// bentBy returns the share by which the width over the height of a box changed. What
// is thin is not looked at.
func bentBy(was, is paths.Rect) float64 {
	const thin = 1 // mm
	if min(was.Width(), was.Height(), is.Width(), is.Height()) < thin {
		return 0
	}
	return math.Abs(is.Width()/is.Height()*was.Height()/was.Width() - 1)
}

// isRound reports whether stroke i is a circle, by its box and its area.
func (s *snapper) isRound(i int) bool {
	b := s.strokes[i].Bounds()
	pts := s.strokes[i].Flatten(shapeFlat)
	area := 0.
	for j := 1; j < len(pts); j++ {
		area += pts[j-1].Cross(pts[j]) / 2
	}
	const slack = 0.02
	return math.Abs(b.Width()/b.Height()-1) <= slack && math.Abs(math.Abs(area)/(b.Width()*b.Height())*4/math.Pi-1) <= slack
}
