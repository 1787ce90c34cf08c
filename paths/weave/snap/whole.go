package snap

import (
	"cmp"
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/warp"
	"weftplot/paths/weave/snap/pins"
	"weftplot/paths/weave/snap/rings"
	"weftplot/paths/weave/snap/web"
)

// The bounds of what moves whole, and of the work of finding out.
const (
	shapeFlat   = 0.05       // mm that a flattened shape may lie off the true one
	shapeTouch  = pins.Touch // mm from a curve at which an end is meant to touch it
	shapeSteps  = 2          // steps to each side that another place is looked for
	shapeStep   = 0.35       // channels to a step
	shapeWork   = 4_000_000  // pairs of segments that are compared
	shapeNested = 2000       // shapes that are looked through for others inside them
)

// shape is what moves whole: closed strokes without lines on the weave, with those
// inside them.
type shape struct {
	strokes []int32
	box     paths.Rect
	// pinned is what something else that ends on it asks it to move by, or nil.
	pinned *paths.Point
	// shared is the movement that makes it equal to its copies, or nil where the maps say
	// the same.
	shared *paths.Point
}

// moveWhole moves rings, discs and other closed shapes without lines on the weave
// as they are, round and unbent, where what is round them stays on its side of
// them. A shape that lies over lines may come to lie over more of them, or fewer.
// One that other lines end on goes where they all go.
func (s *snapper) moveWhole() {
	if s.hangsOn = make([]bool, len(s.Strokes)); s.allStill() {
		return
	}
	shapes := s.shapes()
	if len(shapes) == 0 || s.pause.now() {
		return
	}
	w := newSurroundings(s)
	if s.pause.now() {
		return
	}
	if w.settle(shapes); s.pause.now() {
		return
	}
	s.tellUnequalShapes(shapes)
}

// shapeOf returns strokes as a shape.
func (s *snapper) shapeOf(strokes ...int32) shape {
	x := shape{strokes: strokes, box: paths.EmptyRect()}
	for _, k := range strokes {
		x.box = x.box.Union(s.Strokes[k].Bounds())
	}
	return x
}

// isRing reports whether a stroke is closed and has no line on the weave, and none
// through holes.
func (s *snapper) isRing(k int) bool {
	return s.ComesBack(k) && !s.Strokes[k].IsDot() && !slices.Contains(s.taken[s.First(k):s.First(k+1)], true) &&
		(len(s.crossing) == 0 || !slices.ContainsFunc(s.Path(k), func(v int32) bool { return s.crossing[int(v)] }))
}

// anyRing reports whether there is anything that may move whole: a ring, or a motif
// without lines on the weave and without loose ends.
func (s *snapper) anyRing() bool {
	return slices.Contains(s.rings(), true) || slices.ContainsFunc(s.motifs, func(m motif) bool {
		return len(m.lines[0])+len(m.lines[1]) == 0 && s.isClosedMotif(&m)
	})
}

// shapes returns what may move whole and is not at rest, each with those inside it,
// the largest first.
func (s *snapper) shapes() []shape {
	var all, out []shape
	if !s.anyRing() {
		return nil
	}
	pinned, ok := pins.Of(s.Web, s.rings(), s.touched())
	if !ok {
		return nil // nothing is known to be free, so nothing moves whole
	}
	for k := range pinned {
		s.hangsOn[k] = len(pinned[k]) > 0
	}
	free := s.freeShapes(pinned)
	for n := range s.motifs {
		if len(free[n].strokes) > 0 {
			all = append(all, free[n])
			continue
		}
		for _, of := range s.motifs[n].strokes {
			k := int(of)
			if d, ok := s.pinnedBy(pinned[k]); ok && s.isRing(k) {
				x := s.shapeOf(of)
				x.pinned = d
				out = append(out, x)
			}
		}
	}
	out = append(out, s.nested(largestFirst(all), shapeNested-len(out))...)
	s.shareMoves(out)
	return s.withoutResting(out)
}

// largestFirst returns shapes in the order of the areas of their boxes, the largest first,
// and of equal ones the one that stood first.
func largestFirst(shapes []shape) []shape {
	type sized struct {
		area  float64
		index int
	}
	order := make([]sized, len(shapes))
	for i, x := range shapes {
		order[i] = sized{x.box.Width() * x.box.Height(), i}
	}
	cores.Sort(order, func(a, b sized) int { return cmp.Or(cmp.Compare(b.area, a.area), a.index-b.index) })
	out := make([]shape, len(shapes))
	for i, o := range order {
		out[i] = shapes[o.index]
	}
	return out
}

// freeShapes returns, by motif, the shape of one that has no lines on the weave and that
// nothing else ends on, or one without strokes.
func (s *snapper) freeShapes(pinned [][]int) []shape {
	out := make([]shape, len(s.motifs))
	cores.Ranges(len(out), func(lo, hi int) {
		for n := lo; n < hi; n++ {
			m := &s.motifs[n]
			if len(m.lines[0])+len(m.lines[1]) == 0 && s.isClosedMotif(m) && !s.throughHoles(m) && !slices.ContainsFunc(m.strokes, func(k int32) bool { return len(pinned[k]) > 0 }) {
				out[n] = shape{strokes: m.strokes, box: m.box}
			}
		}
	})
	return out
}

// withoutResting returns the shapes that are not at rest.
func (s *snapper) withoutResting(shapes []shape) (out []shape) {
	rest := make([]bool, len(shapes))
	cores.Ranges(len(shapes), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			rest[i] = s.atRest(shapes[i])
		}
	})
	for i, x := range shapes {
		if !rest[i] {
			out = append(out, x)
		}
	}
	return out
}

// nested returns shapes with those inside them joined to them. The shapes come with the
// largest first; once there are more than most of them, each that is left stands alone.
func (s *snapper) nested(all []shape, most int) (out []shape) {
	areas := map[int]*rings.Area{} // of those of out that something may lie inside
	joined := map[int]bool{}
	add := func(area *rings.Area, x shape) {
		for _, k := range x.strokes {
			area.Add(s.Strokes[k].Flatten(shapeFlat))
		}
	}
	isIn := func(x shape, k int) bool {
		o := &out[k]
		if !o.box.Contains(x.box.Min) || !o.box.Contains(x.box.Max) {
			return false
		}
		if areas[k] == nil {
			areas[k] = &rings.Area{}
			add(areas[k], *o)
		}
		return areas[k].Inside(s.Strokes[x.strokes[0]].Start())
	}
	for _, x := range all {
		outer := len(out)
		if len(out) <= most {
			for outer = 0; outer < len(out) && !isIn(x, outer); outer++ {
			}
		}
		if outer == len(out) {
			out = append(out, x)
			continue
		}
		o := &out[outer]
		if !joined[outer] {
			joined[outer], o.strokes = true, slices.Clip(o.strokes) // they are the motif's
		}
		o.strokes = append(o.strokes, x.strokes...)
		add(areas[outer], x)
	}
	return out
}

// pinnedBy returns the one movement of vertices that a stroke must go with. It is not
// ok where they move differently.
func (s *snapper) pinnedBy(verts []int) (d *paths.Point, ok bool) {
	for _, v := range verts {
		by := s.moved[v].Sub(s.Vertices[v])
		if d != nil && d.Dist(by) > web.Joint {
			return nil, false
		}
		d = &by
	}
	return d, true
}

// atRest reports whether the maps move all of a shape alike, and it is to go there.
func (s *snapper) atRest(x shape) bool {
	if x.pinned != nil || x.shared != nil {
		return false
	}
	first := s.Strokes[x.strokes[0]].Start()
	d := s.carried(first).Sub(first)
	stays := func(p paths.Point) bool { return s.carried(p).Sub(p).Dist(d) <= warp.Still }
	for _, k := range x.strokes {
		st := s.Strokes[k]
		for _, c := range st { // which nearly always tell
			if !stays(c.End()) {
				return false
			}
		}
		if slices.ContainsFunc(st.Flatten(shapeFlat), func(p paths.Point) bool { return !stays(p) }) {
			return false
		}
	}
	return true
}

// throughHoles reports whether a motif has a line that goes through holes.
func (s *snapper) throughHoles(m *motif) bool {
	return len(s.crossing) > 0 && slices.ContainsFunc(m.strokes, func(k int32) bool {
		return slices.ContainsFunc(s.Path(int(k)), func(v int32) bool { return s.crossing[int(v)] })
	})
}

// isClosedMotif reports whether a motif has no loose end.
func (s *snapper) isClosedMotif(m *motif) bool {
	ends := map[int]int{}
	for _, of := range m.strokes {
		k := int(of)
		if len(s.Strokes[k]) == 0 || s.Strokes[k].IsDot() {
			return false
		}
		for j := range s.Strokes[k] {
			e := s.Ends(k, j)
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

// touched reports, by vertex, whether it lies on the middle of a straight. The curve that a
// straight is drawn as may bulge away from there.
func (s *snapper) touched() []bool {
	out := make([]bool, len(s.Vertices))
	for _, t := range s.touches {
		out[t.vertex] = true
	}
	return out
}

// rings reports, by stroke, whether it is a ring.
func (s *snapper) rings() []bool {
	out := make([]bool, len(s.Strokes))
	for i := range s.Strokes {
		out[i] = s.isRing(i)
	}
	return out
}
