package join

import (
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
}

// newConnection returns what the parts connect by their ends.
func newConnection(parts []part, vs []vertex, at map[paths.Point]int, free int) *connection {
	c := &connection{near.NewSets(len(vs)), make([]int, len(parts)), len(vs), free}
	for i, p := range parts {
		c.first[i] = at[p.Start()]
		c.join(c.first[i], at[p.End()])
	}
	return c
}

func (c *connection) join(v, u int) {
	if c.sets.Join(v, u) {
		c.apart--
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
