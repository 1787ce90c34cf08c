package snap

import (
	"cmp"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
)

// surroundings is what lies round shapes, before and after.
type surroundings struct {
	*snapper
	curves        [][2]int // stroke and curve
	cells         *near.Cells
	before, after [][]paths.Point // by curve, flattened when asked for
	drawn         []placed        // by curve, how it lay when after was flattened
	seen          []int
	query         int
	work          int
}

// placed is all that a curve of a shape that moved is drawn by.
type placed struct {
	from, to paths.Point
	by       *paths.Point // the movement of its shape
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
	w.before, w.after, w.drawn, w.seen = make([][]paths.Point, n), make([][]paths.Point, n), make([]placed, n), make([]int, n)
	return w
}

// flat returns curve i before and after, flattened.
func (w *surroundings) flat(i int) (before, after []paths.Point) {
	k, j := w.curves[i][0], w.curves[i][1]
	if w.before[i] == nil {
		w.before[i] = paths.Stroke{w.strokes[k][j]}.Flatten(shapeFlat)
	}
	lies := placed{w.moved[w.ends[k][j][0]], w.moved[w.ends[k][j][1]], w.whole[k]}
	if w.after[i] == nil || w.whole[k] != nil && w.drawn[i] != lies {
		w.after[i], w.drawn[i] = w.redrawOne(k, j).Flatten(shapeFlat), lies
		w.work -= len(w.after[i])
	}
	return w.before[i], w.after[i]
}

// settle moves a shape whole, where its copies go or as near to where the maps carry its
// middle as what is round it allows, and reports whether there is such a place.
func (w *surroundings) settle(x shape) bool {
	middle := x.box.Centre()
	places := w.places(middle, w.intoRoom(x.box, w.carried(middle).Sub(middle)))
	switch {
	case x.pinned != nil:
		places = []paths.Point{*x.pinned}
	case x.shared != nil:
		places = append([]paths.Point{*x.shared}, places...)
	}
	for _, d := range places {
		if w.allowed(x, d) {
			w.move(x, d)
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
	for _, ring := range x.edge {
		w.work -= len(ring) / ringWork
	}
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

// intoRoom returns the movement nearest to d that keeps a box in the room that lies in
// it; d where there is none.
func (w *surroundings) intoRoom(box paths.Rect, d paths.Point) paths.Point {
	into := func(axis weave.Axis, by float64) float64 {
		lo, hi, toLo, toHi, ok := w.walls(axis)
		a, _ := axis.Split(box.Min)
		b, _ := axis.Split(box.Max)
		if !ok || a < lo-joint || b > hi+joint || b-a > toHi-toLo {
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

// isStraight reports whether curve i is a part of a straight.
func (w *surroundings) isStraight(i int) bool {
	k, j := w.curves[i][0], w.curves[i][1]
	return w.taken[k][j]
}

// ringWork is how many sides of a ring are gone over while two segments are held against
// each other.
const ringWork = 4

// around calls f for the curves near a shape that are not its own, until f returns
// false, and reports whether it never did.
func (w *surroundings) around(x shape, f func(i int) bool) bool {
	own := map[int]bool{}
	for _, k := range x.strokes {
		own[k] = true
	}
	w.query++
	box := x.box.Grow((choice.MostMoved + rowChannels) * max(w.grid.Across, w.grid.Along))
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
