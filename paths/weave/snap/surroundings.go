package snap

import (
	"cmp"
	"math"
	"slices"
	"sync"

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
	before, after []paths.Rect
	flatOf        []int32 // 1 + the number of its polylines, 0 for none
	flats         []flatCurve
	cells         *near.Cells
	reach         float64 // how far a curve lies after beyond where it lay before at most, mm
	work          int
	moves         int                 // how many shapes were moved
	shared        []bool              // by vertex, whether several strokes come by it
	tries         [3][3][]paths.Point // the movements to try, by the sides that the steps go to
	lookers       []*looker           // that are at rest
	resting       sync.Mutex          // of those
}

// flatCurve is a curve before and after, as polylines.
type flatCurve struct{ before, after []paths.Point }

func newSurroundings(s *snapper) *surroundings {
	n := s.Curves()
	w := &surroundings{snapper: s, work: shapeWork, stroke: make([]int32, n), flatOf: make([]int32, n), shared: s.sharedVertices(),
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
	for across := range w.tries {
		for along := range w.tries[across] {
			w.tries[across][along] = w.triesTo(across-1, along-1)
		}
	}
	w.reach = w.beyond()
	w.cells = near.NewCells(boundsOf(w.before), w.cellSide(), n, func(i int, put func(paths.Rect)) { put(w.before[i]) })
	return w
}

// sharedVertices tells which vertices several strokes come by.
func (s *snapper) sharedVertices() []bool {
	out := make([]bool, len(s.Vertices))
	first := make([]int32, len(s.Vertices)) // 1 + a stroke that comes by it, 0 for none so far
	for i := range s.Strokes {
		for _, v := range s.Path(i) {
			out[v] = out[v] || first[v] > 0 && first[v] != int32(i)+1
			first[v] = int32(i) + 1
		}
	}
	return out
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

// move moves a shape whole by d. It returns the box of where its curves lie after and of all
// that lay before and until now, and whether curves of other strokes moved with it.
func (w *surroundings) move(x shape, d paths.Point) (box paths.Rect, others bool) {
	w.reach = max(w.reach, math.Abs(d.X), math.Abs(d.Y))
	w.moves++
	box = paths.EmptyRect()
	for _, k := range x.strokes {
		w.whole[k] = &d
		i := int(k)
		for _, v := range w.Path(i) {
			if to := w.Vertices[v].Add(d); to.Dist(w.moved[v]) > web.Joint { // a pin stays as exact as it is
				w.moved[v] = to
				others = others || w.shared[v]
			}
		}
		for j := range w.Strokes[i] {
			n, by := w.First(i)+j, paths.Rect{Min: w.before[w.First(i)+j].Min.Add(d), Max: w.before[w.First(i)+j].Max.Add(d)}
			box = box.Union(w.before[n]).Union(w.after[n])
			if w.after[n] = by.Union(paths.RectOf(w.movedEnds(i, j))); w.flatOf[n] > 0 {
				w.flats[w.flatOf[n]-1].after = nil
			}
			box = box.Union(w.after[n])
		}
	}
	return box, others
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
	return w.tries[side(weave.Across)+1][side(weave.Along)+1]
}

// triesTo returns them with the steps to the sides given: 1, 0 or -1.
func (w *surroundings) triesTo(across, along int) (out []paths.Point) {
	x, y := float64(across)*shapeStep*w.grid.Across, float64(along)*shapeStep*w.grid.Along
	for i := -shapeSteps; i <= shapeSteps; i++ {
		for j := -shapeSteps; j <= shapeSteps; j++ {
			out = append(out, paths.Point{X: float64(i) * x, Y: float64(j) * y})
		}
	}
	slices.SortStableFunc(out, func(a, b paths.Point) int { return cmp.Compare(a.Len(), b.Len()) })
	return slices.Compact(out)
}

// edgeOf returns the edge of a shape.
func (s *snapper) edgeOf(strokes []int32) (e rings.Edge) {
	for _, k := range strokes {
		e.Add(s.Strokes[k].Flatten(shapeFlat))
	}
	return e
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
