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
	"weftplot/paths/weave/snap/rings"
	"weftplot/paths/weave/snap/web"
)

// surroundings is what lies round shapes, before and after. What is asked again and again
// stands by itself, by the number of the curve: most of the time goes by in waiting for what
// lies elsewhere.
type surroundings struct {
	*snapper
	stroke        []int32 // whose the curve is
	seen          []int32 // the last query that came upon it
	before, after []paths.Rect
	flatOf        []int32 // 1 + the number of its polylines, 0 for none
	flats         []flatCurve
	cells         *near.Cells
	reach         float64 // how far a curve lies after beyond where it lay before at most, mm
	query         int32
	work          int
	moving        rings.Edge // room for the edge of the shape that is looked at
	ends          [2][2]paths.Point
	tries         [3][3][]paths.Point // the movements to try, once they were asked for
}

// flatCurve is a curve before and after, as polylines.
type flatCurve struct{ before, after []paths.Point }

func newSurroundings(s *snapper) *surroundings {
	n := s.Curves()
	w := &surroundings{snapper: s, work: shapeWork, stroke: make([]int32, n), seen: make([]int32, n), flatOf: make([]int32, n),
		before: make([]paths.Rect, n), after: make([]paths.Rect, n)}
	if s.images = s.draw(); s.pause.now() {
		return w
	}
	cores.Ranges(len(s.Strokes), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			for j, c := range s.Strokes[i] {
				k := s.First(i) + j
				w.stroke[k], w.before[k] = int32(i), c.Bounds()
				if s.images.of[k] > 0 {
					w.after[k] = s.images.all[s.images.of[k]-1].stroke.Bounds()
				} else {
					w.after[k] = paths.RectOf(s.movedEnds(i, j))
				}
			}
		}
	})
	w.reach = w.beyond()
	w.cells = near.NewCells(boundsOf(w.before), w.cellSide(), n, func(i int, put func(paths.Rect)) { put(w.before[i]) })
	return w
}

// boundsOf returns the box of boxes.
func boundsOf(boxes []paths.Rect) paths.Rect {
	out := paths.EmptyRect()
	for _, b := range boxes {
		out = out.Union(b)
	}
	return out
}

// cellSide returns the side of cells, mm: so short that few curves lie in one, but not so
// short that they lie in very many.
func (w *surroundings) cellSide() float64 {
	const most = 8 // cells that a curve lies in, in the mean
	box, n := boundsOf(w.before), float64(len(w.before))
	longest := choice.Reach * w.grid.Across
	side := min(longest, max(longest/1024, math.Sqrt(box.Width()*box.Height()/n)))
	for ; side < longest; side *= 2 {
		cells := 0.
		for _, b := range w.before {
			cells += (b.Width()/side + 1) * (b.Height()/side + 1)
		}
		if cells <= most*n {
			return side
		}
	}
	return longest
}

// beyond returns how far the curves lie after, as the maps carry them, beyond the boxes
// where they lay before at most, mm.
func (w *surroundings) beyond() float64 {
	out := 0.
	for i, was := range w.before {
		is := w.after[i]
		out = max(out, was.Min.X-is.Min.X, is.Max.X-was.Max.X, was.Min.Y-is.Min.Y, is.Max.Y-was.Max.Y)
	}
	return out
}

// lines returns a curve as polylines, before and after. They hold until it is called again.
func (w *surroundings) lines(k int) (before, after []paths.Point) {
	i := int(w.stroke[k])
	j := k - w.First(i)
	c := w.Strokes[i][j]
	if l, ok := c.(paths.Line); ok {
		from, to := w.movedEnds(i, j)
		w.ends = [2][2]paths.Point{{l.A, l.B}, {from, to}}
		return w.ends[0][:], w.ends[1][:]
	}
	if w.flatOf[k] == 0 {
		w.flats = append(w.flats, flatCurve{before: paths.Stroke{c}.Flatten(shapeFlat)})
		w.flatOf[k] = int32(len(w.flats))
	}
	f := &w.flats[w.flatOf[k]-1]
	if f.after == nil {
		f.after = w.imageOf(i, j).Flatten(shapeFlat)
		w.work -= len(f.after)
	}
	return f.before, f.after
}

// settle moves a shape whole, where its copies go or as near to where the maps carry its
// middle as what is round it allows, and reports whether there is such a place.
func (w *surroundings) settle(x shape) bool {
	if w.work <= 0 {
		return false
	}
	edge := w.edgeOf(x.strokes)
	try := func(d paths.Point) bool {
		if !w.allowed(x, &edge, d) {
			return false
		}
		w.move(x, d)
		return true
	}
	if x.pinned != nil {
		return try(*x.pinned)
	}
	if x.shared != nil && try(*x.shared) {
		return true
	}
	middle := x.box.Centre()
	base := w.intoRoom(x.box, w.carried(middle).Sub(middle))
	return slices.ContainsFunc(w.triesFrom(middle), func(d paths.Point) bool { return try(d.Add(base)) })
}

// move moves a shape whole by d.
func (w *surroundings) move(x shape, d paths.Point) {
	w.reach = max(w.reach, math.Abs(d.X), math.Abs(d.Y))
	for _, k := range x.strokes {
		w.whole[k] = &d
		i := int(k)
		for _, v := range w.Path(i) {
			if to := w.Vertices[v].Add(d); to.Dist(w.moved[v]) > web.Joint { // a pin stays as exact as it is
				w.moved[v] = to
			}
		}
		for j := range w.Strokes[i] {
			n, by := w.First(i)+j, paths.Rect{Min: w.before[w.First(i)+j].Min.Add(d), Max: w.before[w.First(i)+j].Max.Add(d)}
			if w.after[n] = by.Union(paths.RectOf(w.movedEnds(i, j))); w.flatOf[n] > 0 {
				w.flats[w.flatOf[n]-1].after = nil
			}
		}
	}
}

// triesFrom returns the movements that are tried beside where the maps carry the middle of
// a shape, the nearest first. In a design that is its own mirror image those of a shape are
// the mirror images of its image's.
func (w *surroundings) triesFrom(middle paths.Point) []paths.Point {
	side := func(axis weave.Axis) int {
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
	return w.triesTo(side(weave.Across), side(weave.Along))
}

// triesTo returns them with the steps to the sides given: 1, 0 or -1.
func (w *surroundings) triesTo(across, along int) []paths.Point {
	of := &w.tries[across+1][along+1]
	if *of != nil {
		return *of
	}
	x, y := float64(across)*shapeStep*w.grid.Across, float64(along)*shapeStep*w.grid.Along
	for i := -shapeSteps; i <= shapeSteps; i++ {
		for j := -shapeSteps; j <= shapeSteps; j++ {
			*of = append(*of, paths.Point{X: float64(i) * x, Y: float64(j) * y})
		}
	}
	slices.SortStableFunc(*of, func(a, b paths.Point) int { return cmp.Compare(a.Len(), b.Len()) })
	*of = slices.Compact(*of)
	return *of
}

// allowed reports whether a shape with the given edge, moved by d, stays in the room, and
// whether all that is round it lies to it as it did.
func (w *surroundings) allowed(x shape, edge *rings.Edge, d paths.Point) bool {
	if !w.keepsRoom(x.box, d) {
		return false
	}
	moved := &w.moving
	moved.MoveTo(edge, d)
	over, came := false, false // it lies over a straight, it came to lie over one
	ok := w.around(x, edge.Box.Union(moved.Box), func(i int) bool {
		was, is, keeps := w.lies(x, edge, moved, i)
		if w.taken[i] && (was || is) {
			over, came = over || was, came || !was
			keeps = true
		}
		return keeps && w.work > 0
	})
	return ok && (!came || over) && w.work > 0
}

// edgeOf returns the edge of a shape.
func (s *snapper) edgeOf(strokes []int32) (e rings.Edge) {
	for _, k := range strokes {
		e.Add(s.Strokes[k].Flatten(shapeFlat))
	}
	return e
}

// lies reports whether curve i meets a shape before and after, and whether it lies
// to the shape as it did: meets it, or lies inside or outside of it.
func (w *surroundings) lies(x shape, edge, moved *rings.Edge, i int) (was, is, keeps bool) {
	if !edge.Box.Overlaps(w.before[i]) && !moved.Box.Overlaps(w.after[i]) {
		return false, false, true // which is so of most
	}
	before, after := w.lines(i)
	for k := range edge.Rings {
		w.work -= len(edge.Rings[k].Points) / ringWork
	}
	const near = shapeFlat + shapeTouch
	if x.pinned != nil && (edge.Holds(before[0], near) || edge.Holds(before[len(before)-1], near)) {
		return false, false, true // what ends on it goes with it
	}
	was, is = w.meets(edge, before, w.before[i]), w.meets(moved, after, w.after[i])
	return was, is, was && is || !was && !is && edge.Inside(before[0]) == moved.Inside(after[0])
}

// meets reports whether a polyline in a box meets an edge.
func (w *surroundings) meets(edge *rings.Edge, line []paths.Point, box paths.Rect) bool {
	met, looks := edge.Meets(line, box)
	w.work -= looks
	return met
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

// ringWork is how many sides of a ring are gone over while two segments are held against
// each other.
const ringWork = 4

// lookWork is how many curves are passed over meanwhile that lie elsewhere.
const lookWork = 32

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
	w.cells.In(box, func(items []int32) {
		w.work -= len(items) / lookWork
		for _, i := range items {
			if !ok {
				return
			}
			if w.seen[i] == w.query {
				continue
			}
			if w.seen[i] = w.query; !own(w.stroke[i]) {
				ok = f(int(i))
			}
		}
	})
	return ok
}
