package snap

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/rings"
)

// looker looks for the places of shapes in their surroundings, and changes nothing of those:
// several may look at once.
type looker struct {
	*surroundings
	seen   []int32 // by curve, the last query that came upon it
	query  int32
	work   int        // what it may still look at for the shape at hand
	moving rings.Edge // room for the edge of that shape
	tried  paths.Rect // where that was held against what is round it
	ends   [2][2]paths.Point
	// What it made polylines of that the surroundings do not know as such: since shapes
	// were moved last, and for the shape at hand.
	fresh map[int]*freshFlat
	drawn []*freshFlat
	round int // the number of that shape
	moves int // how many shapes had been moved
}

// freshFlat is a curve that a looker made polylines of, and for which shape last.
type freshFlat struct {
	flatCurve
	curve, round int
}

// found is what came of looking for the place of a shape.
type found struct {
	ok    bool
	by    paths.Point  // its movement
	box   paths.Rect   // what it lies in, and wherever it was tried
	work  int          // what was looked at
	spent bool         // that was all that could be
	reach float64      // of the surroundings
	drawn []*freshFlat // what was made polylines of
}

// looker returns one that is at rest, or another.
func (w *surroundings) looker() *looker {
	w.resting.Lock()
	defer w.resting.Unlock()
	n := len(w.lookers)
	if n == 0 {
		return &looker{surroundings: w, seen: make([]int32, len(w.stroke)), fresh: map[int]*freshFlat{}}
	}
	l := w.lookers[n-1]
	w.lookers = w.lookers[:n-1]
	return l
}

// rest takes a looker back.
func (w *surroundings) rest(l *looker) {
	w.resting.Lock()
	defer w.resting.Unlock()
	w.lookers = append(w.lookers, l)
}

// The numbers of shapes that places are looked for at once. More are wanted while hardly any
// lies where another has moved meanwhile.
const (
	fewestAtOnce = 16
	mostAtOnce   = 256
	atOnce       = 8 // of one core, before it takes others
)

// settle moves shapes whole, one after the other: where its copies go or as near to where the
// maps carry its middle as what is round it allows. Of one that has no such place the rings
// are moved each by itself. Places are looked for ahead, for many shapes at once. What comes
// of it is as if each were looked for when its turn comes: where something moved meanwhile
// that was looked at, or more was looked at than may be, it is looked for again.
func (w *surroundings) settle(shapes []shape) {
	for size := fewestAtOnce; len(shapes) > 0; {
		next := shapes[:min(size, len(shapes))]
		places := make([]found, len(next))
		if w.findAll(next, places); w.pause.now() {
			return
		}
		settled, again := w.settleFound(next, places)
		if w.pause.now() {
			return
		}
		if settled == len(next) && again <= settled/4 {
			size = min(2*size, mostAtOnce)
		} else {
			size = max(size/2, fewestAtOnce)
		}
		shapes = shapes[settled:]
	}
}

// findAll looks for the places of shapes, on all cores.
func (w *surroundings) findAll(shapes []shape, places []found) {
	if w.work <= 0 {
		return
	}
	cores.EachUntil((len(shapes)+atOnce-1)/atOnce, w.pause.now, func(k int) {
		l := w.looker()
		defer w.rest(l)
		for i := k * atOnce; i < min(len(shapes), (k+1)*atOnce); i++ {
			places[i] = l.find(shapes[i])
		}
	})
}

// settleFound moves shapes to the places that were found for them, or to others where those
// hold no longer. It returns how many it settled before the rest is to be looked for anew, and
// for how many of them it had to look again.
func (w *surroundings) settleFound(shapes []shape, places []found) (settled, again int) {
	var moved []paths.Rect // what moved since the places were found
	for i, x := range shapes {
		if i > 0 && places[i].reach != w.reach || w.pause.step() {
			return i, again
		}
		f := &places[i]
		if !w.holds(f) || slices.ContainsFunc(moved, f.box.Overlaps) {
			again++
			f = w.look(x)
		}
		box, others := w.accept(x, f)
		if moved = append(moved, box); !f.ok && len(x.strokes) > 1 {
			for _, k := range x.strokes {
				if s := w.shapeOf(k); w.isRing(int(k)) {
					b, o := w.accept(s, w.look(s))
					moved, others = append(moved, b), others || o
				}
			}
		}
		if others {
			return i + 1, again
		}
	}
	return len(shapes), again
}

// look looks for the place of a shape, now.
func (w *surroundings) look(x shape) *found {
	l := w.looker()
	defer w.rest(l)
	f := l.find(x)
	return &f
}

// holds reports whether a place would be found for what may be looked at by now.
func (w *surroundings) holds(f *found) bool {
	return !f.spent && w.work > f.work && f.reach == w.reach
}

// accept takes over what came of looking for the place of a shape, and moves it there. It
// returns what [surroundings.move] does.
func (w *surroundings) accept(x shape, f *found) (box paths.Rect, others bool) {
	w.work -= f.work
	for _, d := range f.drawn {
		n := w.flatOf[d.curve]
		if n == 0 {
			w.flats = append(w.flats, flatCurve{})
			n = int32(len(w.flats))
			w.flatOf[d.curve] = n
		}
		if w.flats[n-1].after != nil {
			w.work += len(d.after) // another shape's look has paid for it
		} else {
			w.flats[n-1] = d.flatCurve
		}
	}
	if !f.ok {
		return paths.EmptyRect(), false
	}
	return w.move(x, f.by)
}

// find looks for the place of a shape.
func (w *looker) find(x shape) found {
	if w.surroundings.work <= 0 {
		return found{box: paths.EmptyRect(), spent: true, reach: w.reach}
	}
	if w.moves != w.surroundings.moves {
		w.moves = w.surroundings.moves
		clear(w.fresh)
	}
	w.work, w.drawn = w.surroundings.work, nil
	w.round++
	edge := w.edgeOf(x.strokes)
	w.tried = edge.Box
	by, ok := w.place(x, &edge)
	return found{ok: ok, by: by, box: w.tried, work: w.surroundings.work - w.work, spent: w.work <= 0, reach: w.reach, drawn: w.drawn}
}

// place returns the movement that a shape with the given edge is to make, and whether there
// is one.
func (w *looker) place(x shape, edge *rings.Edge) (by paths.Point, ok bool) {
	if x.pinned != nil {
		return *x.pinned, w.allowed(x, edge, *x.pinned)
	}
	if x.shared != nil && w.allowed(x, edge, *x.shared) {
		return *x.shared, true
	}
	middle := x.box.Centre()
	base := w.intoRoom(x.box, w.carried(middle).Sub(middle))
	for _, d := range w.triesFrom(middle) {
		if by = d.Add(base); w.allowed(x, edge, by) {
			return by, true
		}
	}
	return by, false
}

// allowed reports whether a shape with the given edge, moved by d, stays in the room, and
// whether all that is round it lies to it as it did.
func (w *looker) allowed(x shape, edge *rings.Edge, d paths.Point) bool {
	if !w.keepsRoom(x.box, d) {
		return false
	}
	moved := &w.moving
	moved.MoveTo(edge, d)
	w.tried = w.tried.Union(moved.Box)
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

// lies reports whether curve i meets a shape before and after, and whether it lies
// to the shape as it did: meets it, or lies inside or outside of it.
func (w *looker) lies(x shape, edge, moved *rings.Edge, i int) (was, is, keeps bool) {
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
func (w *looker) meets(edge *rings.Edge, line []paths.Point, box paths.Rect) bool {
	met, looks := edge.Meets(line, box)
	w.work -= looks
	return met
}

// ringWork is how many sides of a ring are gone over while two segments are held against
// each other.
const ringWork = 4

// lookWork is how many curves are passed over meanwhile that lie elsewhere.
const lookWork = 32

// around calls f for the curves near a shape that are not its own and may lie, before or
// after, in a box, until f returns false, and reports whether it never did.
func (w *looker) around(x shape, in paths.Rect, f func(i int) bool) bool {
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

// lines returns a curve as polylines, before and after. They hold until it is called again.
func (w *looker) lines(k int) (before, after []paths.Point) {
	i := int(w.stroke[k])
	j := k - w.First(i)
	c := w.Strokes[i][j]
	if l, ok := c.(paths.Line); ok {
		from, to := w.movedEnds(i, j)
		w.ends = [2][2]paths.Point{{l.A, l.B}, {from, to}}
		return w.ends[0][:], w.ends[1][:]
	}
	var known flatCurve
	if n := w.flatOf[k]; n > 0 {
		known = w.flats[n-1]
	}
	if known.after != nil {
		return known.before, known.after
	}
	f := w.fresh[k]
	if f == nil {
		if f = (&freshFlat{curve: k, flatCurve: known}); f.before == nil {
			f.before = paths.Stroke{c}.Flatten(shapeFlat)
		}
		f.after = w.imageOf(i, j).Flatten(shapeFlat)
		w.fresh[k] = f
	}
	if f.round != w.round {
		f.round = w.round
		w.drawn = append(w.drawn, f)
		w.work -= len(f.after)
	}
	return f.before, f.after
}
