package join

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// cutsEach is how many cuts a curve may have on average, and cutsMore how many
// more there may be, before only those are made that connect the drawing. Teeth on
// a line, hatching and woven patterns have one or two for each curve. Where n lines
// lie along one line and all are kept, there are n ends on each.
const cutsEach, cutsMore = 8, 1000

// connection says which cuts the number of strokes depends on. A cut adds two ends
// to a node, so that no node becomes odd or even by it: the strokes of a connected
// part depend on the odd nodes only, and cuts can only make fewer strokes where they
// connect parts that were apart.
type connection struct {
	sets  *near.Sets // of the vertices
	first []int      // by part: the vertex where it starts
	apart int        // how many sets there are
	free  int        // how many cuts may still be made that connect nothing
	joins int        // of sets so far
}

// newConnection returns what parts connect that start and end at so many vertices.
func newConnection(ends [][2]int, vertices, free int) *connection {
	c := &connection{sets: near.NewSets(vertices), first: make([]int, len(ends)), apart: vertices, free: free}
	for i, e := range ends {
		c.first[i] = e[0]
		c.join(e[0], e[1])
	}
	return c
}

func (c *connection) join(v, u int) {
	if c.sets.Join(v, u) {
		c.apart--
		c.joins++
	}
}

// isDone reports that no more cuts are needed.
func (c *connection) isDone() bool { return c.free <= 0 && c.apart <= 1 }

// needs reports whether a part must be cut at a vertex that lies on it.
func (c *connection) needs(part, v int) bool {
	return c.free > 0 || !c.sets.Same(v, c.first[part])
}

// cut notes that a part is cut at a vertex.
func (c *connection) cut(part, v int) {
	c.free--
	c.join(v, c.first[part])
}

// strangers finds the parts near a vertex that it may have to be connected with. Where
// many lie in one cell of the index they are kept by the set that they belong to, so
// that those which are connected with the vertex are not looked at one by one.
type strangers struct {
	*connection
	index *near.Curves
	cells map[*int32]*acquainted // by the first part of a cell
	same  map[*int32]int         // by that too: how many of its parts from there on are in one set
	found []int32
	looks int
}

// acquainted are the parts of a cell by their set.
type acquainted struct {
	bySet map[int][]int32
	joins int // how many sets had been joined when it was put in order
}

func newStrangers(c *connection, index *near.Curves) *strangers {
	return &strangers{connection: c, index: index, cells: map[*int32]*acquainted{}, same: map[*int32]int{}}
}

// near calls f with the parts that may be near vertex v at p, in ascending order, until
// it returns false. Once there are no free cuts, the parts of the vertex's own set are
// left out.
func (s *strangers) near(v int, p paths.Point, f func(part int) bool) {
	if s.free > 0 {
		s.index.Near(p, f)
		return
	}
	list, _ := s.index.Place(p, func(list []int32) bool { return s.allKnow(list, v) })
	if s.allKnow(list, v) {
		return
	}
	if len(list) < crowded {
		s.index.Near(p, f)
		return
	}
	a := s.cells[&list[0]]
	if a == nil {
		a = &acquainted{bySet: map[int][]int32{}, joins: s.joins}
		for i, part := range list {
			if i == 0 || part != list[i-1] {
				set := s.sets.Find(s.first[part])
				a.bySet[set] = append(a.bySet[set], part)
			}
		}
		s.cells[&list[0]] = a
		s.looks += len(list)
	}
	if a.joins != s.joins {
		a.unite(s)
	}
	own := s.sets.Find(v)
	s.found = s.found[:0]
	for set, parts := range a.bySet {
		s.looks++
		if set == own {
			continue
		}
		s.looks += len(parts)
		for _, part := range parts {
			if s.index.MayReach(int(part), p) {
				s.found = append(s.found, part)
			}
		}
	}
	slices.Sort(s.found)
	for _, part := range slices.Compact(s.found) {
		if !f(int(part)) {
			return
		}
	}
}

// allKnow reports that all parts of a cell are in the set of vertex v. Sets only grow, so that
// those found to be in one set are not looked at again.
func (s *strangers) allKnow(list []int32, v int) bool {
	s.looks++
	if len(list) == 0 {
		return true
	}
	first, k := s.first[list[0]], s.same[&list[0]]
	from := k
	for k < len(list) && s.sets.Same(first, s.first[list[k]]) {
		k++
	}
	if k > from {
		s.same[&list[0]] = k
		s.looks += k - from
	}
	return k == len(list) && s.sets.Same(first, v)
}

// unite puts together the parts whose sets have become one, the fewer to the more.
func (a *acquainted) unite(s *strangers) {
	a.joins = s.joins
	s.looks += len(a.bySet)
	for set, parts := range a.bySet {
		now := s.sets.Find(set)
		if now == set {
			continue
		}
		delete(a.bySet, set)
		if more := a.bySet[now]; len(more) >= len(parts) {
			a.bySet[now] = append(more, parts...)
		} else {
			a.bySet[now] = append(parts, more...)
		}
	}
}
