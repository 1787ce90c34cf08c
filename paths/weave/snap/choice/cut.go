package choice

import "slices"

// cutter finds a least cut of a network with whole capacities by Goldberg and
// Tarjan's push-relabel method (J. ACM 35 (1988) 921-940), first in first out,
// relabelled by distance from time to time. It stops when nothing that is left
// can reach the sink: what is held up then lies on the source side.
//
// The arcs may carry something to begin with, though it be sent from nowhere. A node
// that sends more than it gets lacks something, and takes what reaches it as the sink
// does. When nothing that is held up can reach the sink or a node that lacks something,
// what it can reach is the source side of a least cut, and the least such side: every
// arc out of it is full and none into it carries anything, and what is sent from nowhere
// beyond it can be taken back there, on its way to the sink (Hochbaum, The pseudoflow
// algorithm, Operations Research 56 (2008) 992-1009). So the answer does not depend on
// what was carried to begin with.
type cutter struct {
	ends   []ends  // by arc
	room   []int64 // by arc, what it can carry onward
	slot   []int32 // by arc, where it stands beside the others of its node
	excess []int64 // by node, what it holds, or lacks

	// The arcs out of node v are first[v] to first[v+1].
	first  []int32
	arcs   []arc
	height []int32 // by node, a lower bound of its distance to where something is taken
	at     []int32 // by node, which of its arcs to try next
	many   []int32 // by height, how many nodes have it
	queue  []int32
	queued []bool
	order  []int32
	side   []bool
}

// arc is one way of an arc.
type arc struct {
	spare    int64 // the capacity that is not used
	to, back int32 // the node it leads to, and where its other way stands
}

// ends are the nodes that an arc joins.
type ends struct{ u, v int32 }

// newCutter returns a network of so many nodes and, for now, no arcs.
func newCutter(nodes, arcs int) cutter {
	return cutter{ends: make([]ends, 0, arcs), excess: make([]int64, nodes)}
}

// add puts an arc from u to v, numbered in the order of adding. No arc may join a node
// to itself.
func (c *cutter) add(u, v int32) { c.ends = append(c.ends, ends{u, v}) }

// lay puts the arcs of each node side by side, when all are added.
func (c *cutter) lay() {
	n, m := len(c.excess), 2*len(c.ends)
	c.first = make([]int32, n+1)
	for _, a := range c.ends {
		c.first[a.u+1]++
		c.first[a.v+1]++
	}
	for v := range n {
		c.first[v+1] += c.first[v]
	}
	c.arcs = make([]arc, m)
	c.room, c.slot = make([]int64, len(c.ends)), make([]int32, len(c.ends))
	c.height, c.many, c.queued, c.side = make([]int32, n), make([]int32, n+1), make([]bool, n), make([]bool, n)
	c.at = slices.Clone(c.first[:n])
	for e, a := range c.ends {
		i, j := c.at[a.u], c.at[a.v]
		c.at[a.u]++
		c.at[a.v]++
		c.arcs[i], c.arcs[j] = arc{to: a.v, back: j}, arc{to: a.u, back: i}
		c.slot[e] = i
	}
}

// begin empties all nodes. Then their supplies are added to excess, and every arc is set.
func (c *cutter) begin() { clear(c.excess) }

// set says how much an arc can carry onward and back, and how much of carried, which is
// negative for back, it carries to begin with: as much as it can.
func (c *cutter) set(arc int, onward, back, carried int64) {
	carried = max(-back, min(onward, carried))
	a, i := c.ends[arc], &c.arcs[c.slot[arc]]
	c.room[arc] = onward
	i.spare, c.arcs[i.back].spare = onward-carried, back+carried
	c.excess[a.u] -= carried
	c.excess[a.v] += carried
}

// carried returns what an arc carries, negative for back.
func (c *cutter) carried(arc int) int64 { return c.room[arc] - c.arcs[c.slot[arc]].spare }

// cut sends what it can of all supplies to the sink and returns, for each node,
// whether it is on the source side of a least cut: those where something is held
// up, and those that could still take some of it. All supplies must add up to
// an int64. The slice is used anew by the next cut.
func (c *cutter) cut(sink int32) []bool {
	every := 4*len(c.excess) + len(c.arcs)
	work := every + 1
	for {
		if work > every {
			c.relabelAll(sink)
			work = 0
		}
		if len(c.queue) == 0 {
			break
		}
		u := c.queue[0]
		c.queue = c.queue[1:]
		c.queued[u] = false
		work += c.discharge(u, sink)
	}
	return c.heldUp(sink)
}

func (c *cutter) heldUp(sink int32) []bool {
	side := c.side
	clear(side)
	c.order = c.order[:0]
	for v, x := range c.excess {
		if x > 0 && int32(v) != sink {
			side[v] = true
			c.order = append(c.order, int32(v))
		}
	}
	for i := 0; i < len(c.order); i++ {
		u := c.order[i]
		for _, a := range c.arcs[c.first[u]:c.first[u+1]] {
			if a.spare > 0 && !side[a.to] {
				side[a.to] = true
				c.order = append(c.order, a.to)
			}
		}
	}
	return side
}

// relabelAll sets every height to the distance to the sink or the nearest node that
// lacks something, where there is a way, and queues the nodes that have something to
// push there.
func (c *cutter) relabelAll(sink int32) {
	n := int32(len(c.excess))
	for i := range c.height {
		c.height[i] = n
		c.queued[i] = false
	}
	clear(c.at)
	c.height[sink] = 0
	c.order = append(c.order[:0], sink)
	for v, x := range c.excess {
		if x < 0 && int32(v) != sink {
			c.height[v] = 0
			c.order = append(c.order, int32(v))
		}
	}
	c.queue = nil
	for i := 0; i < len(c.order); i++ {
		u := c.order[i]
		h := c.height[u] + 1
		for _, a := range c.arcs[c.first[u]:c.first[u+1]] {
			if v := a.to; c.height[v] == n && c.arcs[a.back].spare > 0 {
				c.height[v] = h
				c.order = append(c.order, v)
				c.enqueue(v, sink)
			}
		}
	}
	clear(c.many)
	for _, h := range c.height {
		c.many[h]++
	}
}

// lift sets the height of u. Where no node is left at its old height, those above it
// have no way down, and none of them is looked at again (B. Cherkassky and A. Goldberg,
// Algorithmica 19 (1997) 390-410).
func (c *cutter) lift(u, height int32) {
	n, old := int32(len(c.height)), c.height[u]
	c.height[u] = height
	c.many[old]--
	c.many[height]++
	if c.many[old] > 0 || old >= n {
		return
	}
	for v, h := range c.height {
		if h > old && h < n {
			c.many[h]--
			c.height[v] = n
			c.many[n]++
		}
	}
}

func (c *cutter) enqueue(v, sink int32) {
	if c.excess[v] > 0 && v != sink && !c.queued[v] {
		c.queued[v] = true
		c.queue = append(c.queue, v)
	}
}

// discharge pushes the excess of u on until none is left or there is no way, and
// returns how many arcs it looked at.
func (c *cutter) discharge(u, sink int32) (looked int) {
	n, arcs := int32(len(c.excess)), c.arcs[c.first[u]:c.first[u+1]]
	for c.excess[u] > 0 && c.height[u] < n {
		low, h := n, c.height[u]
		for ; int(c.at[u]) < len(arcs); c.at[u]++ {
			a := &arcs[c.at[u]]
			looked++
			if a.spare == 0 || h != c.height[a.to]+1 {
				continue
			}
			d := min(c.excess[u], a.spare)
			a.spare -= d
			c.arcs[a.back].spare += d
			c.excess[u] -= d
			c.excess[a.to] += d
			c.enqueue(a.to, sink)
			if c.excess[u] == 0 {
				return looked
			}
		}
		for i := range arcs {
			if a := &arcs[i]; a.spare > 0 {
				low = min(low, c.height[a.to])
			}
		}
		looked += len(arcs)
		c.lift(u, min(n, low+1))
		c.at[u] = 0
	}
	return looked
}
