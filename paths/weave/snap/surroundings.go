package snap

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/web"
)

// surroundings is what lies round shapes, before and after.
type surroundings struct {
	*snapper
	curves []curve
	lines  [][2][]paths.Point // by curve, before and after, flattened when asked for
	cells  *near.Cells
	reach  float64 // how far a curve lies after beyond where it lay before at most, mm
	query  int32
	work   int
	moving [][]paths.Point // room for the edge of the shape that is looked at
}

// A curve is one of the design. It holds side by side what is asked again and again: most
// of the time goes by in waiting for what lies elsewhere.
type curve struct {
	stroke, at    int32    // which stroke's, and which of its curves
	ends          [2]int32 // vertices
	seen          int32    // the last query that came upon it
	straight      bool     // it is a part of a straight
	flat          bool     // it was flattened
	drawn         placed   // how it lay when it was flattened as it lies after
	before, after paths.Rect
}

// flatten returns a curve as a polyline, and the box of that.
func flatten(s paths.Stroke) (paths.Rect, []paths.Point) {
	line := s.Flatten(shapeFlat)
	return paths.RectOf(line...), line
}

// placed is all that a curve of a shape that moved is drawn by.
type placed struct {
	from, to paths.Point
	by       *paths.Point // the movement of its shape
}

func newSurroundings(s *snapper) *surroundings {
	w := &surroundings{snapper: s, work: shapeWork}
	box := paths.EmptyRect()
	for i, k := range s.Strokes {
		for j := range k {
			e := s.Ends(i, j)
			w.curves = append(w.curves, curve{stroke: int32(i), at: int32(j), straight: s.isTaken(i, j), ends: [2]int32{int32(e[0]), int32(e[1])}})
		}
	}
	boxes := make([]paths.Rect, len(w.curves))
	cores.Ranges(len(boxes), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			boxes[i] = s.Strokes[w.curves[i].stroke][w.curves[i].at].Bounds()
		}
	})
	for _, b := range boxes {
		box = box.Union(b)
	}
	w.cells = near.NewCells(box, choice.Reach*s.grid.Across, len(w.curves), func(i int, put func(paths.Rect)) { put(boxes[i]) })
	w.lines = make([][2][]paths.Point, len(w.curves))
	if s.images = s.draw(); !s.pause.now() {
		w.reach = w.beyond(boxes)
	}
	return w
}

// beyond returns how far the curves lie after, as the maps carry them, beyond the boxes
// where they lay before at most, mm.
func (w *surroundings) beyond(boxes []paths.Rect) float64 {
	out := 0.
	for i, was := range boxes {
		is := w.images[i].box
		out = max(out, was.Min.X-is.Min.X, is.Max.X-was.Max.X, was.Min.Y-is.Min.Y, is.Max.Y-was.Max.Y)
	}
	return out
}

// flat returns curve i with its boxes before and after, and sees to it that its lines
// are flattened as it lies now.
func (w *surroundings) flat(i int) *curve {
	c := &w.curves[i]
	whole := w.whole[c.stroke]
	lies := placed{w.moved[c.ends[0]], w.moved[c.ends[1]], whole}
	if !c.flat || whole != nil && c.drawn != lies {
		if !c.flat {
			c.before, w.lines[i][0] = flatten(paths.Stroke{w.Strokes[c.stroke][c.at]})
		}
		c.after, w.lines[i][1] = flatten(w.imageOf(i, int(c.stroke), int(c.at)))
		c.flat, c.drawn = true, lies
		w.work -= len(w.lines[i][1])
	}
	return c
}

// settle moves a shape whole, where its copies go or as near to where the maps carry its
// middle as what is round it allows, and reports whether there is such a place.
func (w *surroundings) settle(x shape) bool {
	if w.work <= 0 {
		return false
	}
	middle := x.box.Centre()
	places := w.places(middle, w.intoRoom(x.box, w.carried(middle).Sub(middle)))
	switch {
	case x.pinned != nil:
		places = []paths.Point{*x.pinned}
	case x.shared != nil:
		places = append([]paths.Point{*x.shared}, places...)
	}
	edge := newEdge(x.edge)
	for _, d := range places {
		if w.allowed(x, edge, d) {
			w.move(x, d)
			return true
		}
	}
	return false
}

// move moves a shape whole by d.
func (w *surroundings) move(x shape, d paths.Point) {
	w.reach = max(w.reach, math.Abs(d.X), math.Abs(d.Y))
	for _, k := range x.strokes {
		w.whole[k] = &d
		for _, v := range w.Path(int(k)) {
			if to := w.Vertices[v].Add(d); to.Dist(w.moved[v]) > web.Joint { // a pin stays as exact as it is
				w.moved[v] = to
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
		case m == nil || at < m.before-web.Joint:
			return 1
		case at > m.before+web.Joint:
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

// allowed reports whether a shape with the given edge, moved by d, stays in the room, and
// whether all that is round it lies to it as it did.
func (w *surroundings) allowed(x shape, edge edgeOf, d paths.Point) bool {
	if !w.keepsRoom(x.box, d) {
		return false
	}
	moved := w.movedBy(x, d)
	over, came := false, false // it lies over a straight, it came to lie over one
	ok := w.around(x, edge.box.Union(moved.box), func(i int) bool {
		was, is, keeps := w.lies(x, edge, moved, i)
		if w.curves[i].straight && (was || is) {
			over, came = over || was, came || !was
			keeps = true
		}
		return keeps && w.work > 0
	})
	return ok && (!came || over) && w.work > 0
}

// edgeOf is the edge of a shape, in its box.
type edgeOf struct {
	rings [][]paths.Point
	box   paths.Rect
}

// movedBy returns the edge of a shape moved by d. It holds until it is called again.
func (w *surroundings) movedBy(x shape, d paths.Point) edgeOf {
	for len(w.moving) < len(x.edge) {
		w.moving = append(w.moving, nil)
	}
	for i, ring := range x.edge {
		w.moving[i] = w.moving[i][:0]
		for _, p := range ring {
			w.moving[i] = append(w.moving[i], p.Add(d))
		}
	}
	return newEdge(w.moving[:len(x.edge)])
}

func newEdge(rings [][]paths.Point) edgeOf {
	box := paths.EmptyRect()
	for _, ring := range rings {
		box = box.Union(paths.RectOf(ring...))
	}
	return edgeOf{rings, box}
}

// lies reports whether curve i meets a shape before and after, and whether it lies
// to the shape as it did: meets it, or lies inside or outside of it.
func (w *surroundings) lies(x shape, edge, moved edgeOf, i int) (was, is, keeps bool) {
	c := w.flat(i)
	if !meet(edge.box, c.before) && !meet(moved.box, c.after) {
		return false, false, true // which is so of most
	}
	before, after := w.lines[i][0], w.lines[i][1]
	for _, ring := range edge.rings {
		w.work -= len(ring) / ringWork
	}
	if x.pinned != nil && (onRings(edge.rings, before[0]) || onRings(edge.rings, before[len(before)-1])) {
		return false, false, true // what ends on it goes with it
	}
	was, is = w.cross(edge.rings, before, c.before), w.cross(moved.rings, after, c.after)
	return was, is, was && is || !was && !is && inside(edge.rings, before[0]) == inside(moved.rings, after[0])
}

// keepsRoom reports whether a box that lies in the room does so when moved by d.
func (w *surroundings) keepsRoom(box paths.Rect, d paths.Point) bool {
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		lo, hi, toLo, toHi, ok := w.walls(axis)
		a, _ := axis.Split(box.Min)
		b, _ := axis.Split(box.Max)
		by, _ := axis.Split(d)
		if ok && a >= lo-web.Joint && b <= hi+web.Joint && (a+by < toLo-web.Joint || b+by > toHi+web.Joint) {
			return false
		}
	}
	return true
}

// intoRoom returns the movement nearest to d that keeps a box in the room that lies in
// it; d where there is none.
func (w *surroundings) intoRoom(box paths.Rect, d paths.Point) paths.Point {
	into := func(axis weave.Axis, by float64) float64 {
		lo, hi, toLo, toHi, ok := w.walls(axis)
		a, _ := axis.Split(box.Min)
		b, _ := axis.Split(box.Max)
		if !ok || a < lo-web.Joint || b > hi+web.Joint || b-a > toHi-toLo {
			return by
		}
		return min(toHi-b, max(toLo-a, by))
	}
	return paths.Point{X: into(weave.Across, d.X), Y: into(weave.Along, d.Y)}
}

// onRings reports whether p lies on rings.
func onRings(rings [][]paths.Point, p paths.Point) bool {
	const near = shapeFlat + shapeTouch
	for _, ring := range rings {
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			if p.X < min(a.X, b.X)-near || p.X > max(a.X, b.X)+near || p.Y < min(a.Y, b.Y)-near || p.Y > max(a.Y, b.Y)+near {
				continue // nearly all are told off so, without a root
			}
			if _, d := (paths.Line{A: a, B: b}).Nearest(p); d <= near {
				return true
			}
		}
	}
	return false
}

// ringWork is how many sides of a ring are gone over while two segments are held against
// each other.
const ringWork = 4

// around calls f for the curves near a shape that are not its own and may lie, before or
// after, in a box, until f returns false, and reports whether it never did.
func (w *surroundings) around(x shape, in paths.Rect, f func(i int) bool) bool {
	own := func(k int32) bool { return k == x.strokes[0] }
	if len(x.strokes) > 1 {
		strokes := map[int32]bool{}
		for _, k := range x.strokes {
			strokes[k] = true
		}
		own = func(k int32) bool { return strokes[k] }
	}
	w.query++
	box := x.box.Grow((choice.MostMoved + choice.Reach) * max(w.grid.Across, w.grid.Along))
	if in = in.Grow(w.reach + shapeFlat); box.Contains(in.Min) && box.Contains(in.Max) {
		box = in
	}
	ok := true
	visit := func(items []int32) {
		for _, i := range items {
			if !ok {
				return
			}
			c := &w.curves[i]
			if c.seen == w.query {
				continue
			}
			c.seen = w.query
			if !own(c.stroke) {
				ok = f(int(i))
			}
		}
	}
	for y := box.Min.Y; ok && y <= box.Max.Y+w.cells.Side(); y += w.cells.Side() {
		w.cells.Along(paths.Point{X: box.Min.X, Y: y}, paths.Point{X: box.Max.X, Y: y}, 0, visit)
	}
	return ok
}

// cross reports whether a polyline in its box meets rings.
func (w *surroundings) cross(rings [][]paths.Point, line []paths.Point, box paths.Rect) bool {
	for _, ring := range rings {
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			// Most of a ring lies to one side of the line, which is soon seen.
			if max(a.X, b.X) < box.Min.X || min(a.X, b.X) > box.Max.X || max(a.Y, b.Y) < box.Min.Y || min(a.Y, b.Y) > box.Max.Y {
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
