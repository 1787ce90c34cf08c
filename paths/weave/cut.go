package weave

import "math"

// cutter finds a least cut of a network with whole capacities by Goldberg and
// Tarjan's push-relabel method (J. ACM 35 (1988) 921-940), first in first out,
// relabelled by distance from time to time. It stops when nothing that is left
// can reach the sink: what is held up then lies on the source side.
type cutter struct {
	head   []int32 // by node, the first of its arcs, -1 none
	next   []int32 // by arc; arc i^1 is i the other way
	to     []int32
	left   []int64 // by arc, the capacity left
	height []int32 // by node, a lower bound of its distance to the sink
	at     []int32 // by node, the arc to try next
	excess []int64 // by node, what it holds
	queue  []int32
	queued []bool
	order  []int32
}

func newCutter(nodes, arcs int) *cutter {
	c := &cutter{
		head: make([]int32, nodes), height: make([]int32, nodes), at: make([]int32, nodes),
		excess: make([]int64, nodes), queued: make([]bool, nodes),
		next: make([]int32, 0, 2*arcs), to: make([]int32, 0, 2*arcs), left: make([]int64, 0, 2*arcs),
	}
	for i := range c.head {
		c.head[i] = -1
	}
	return c
}

// add puts an arc from u to v.
func (c *cutter) add(u, v int, capacity int64) {
	i := int32(len(c.to))
	c.to = append(c.to, int32(v), int32(u))
	c.left = append(c.left, capacity, 0)
	c.next = append(c.next, c.head[u], c.head[v])
	c.head[u], c.head[v] = i, i+1
}

// supply gives node v something to send to the sink.
func (c *cutter) supply(v int, amount int64) { c.excess[v] += amount }

// cut sends what it can of all supplies to the sink and returns, for each node,
// whether it is on the source side of a least cut: those where something is held
// up, and those that could still take some of it. All supplies must add up to
// an int64.
func (c *cutter) cut(sink int32) []bool {
	every := 4*len(c.head) + len(c.to)
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
	side := make([]bool, len(c.head))
	c.order = c.order[:0]
	for v := range c.head {
		if c.excess[v] > 0 && int32(v) != sink {
			side[v] = true
			c.order = append(c.order, int32(v))
		}
	}
	for i := 0; i < len(c.order); i++ {
		u := c.order[i]
		for a := c.head[u]; a >= 0; a = c.next[a] {
			if v := c.to[a]; c.left[a] > 0 && !side[v] {
				side[v] = true
				c.order = append(c.order, v)
			}
		}
	}
	return side
}

// relabelAll sets every height to the distance to the sink, where there is a
// way, and queues the nodes that have something to push there.
func (c *cutter) relabelAll(sink int32) {
	n := int32(len(c.head))
	for i := range c.height {
		c.height[i] = n
		c.queued[i] = false
	}
	copy(c.at, c.head)
	c.height[sink] = 0
	c.order = append(c.order[:0], sink)
	c.queue = c.queue[:0]
	for i := 0; i < len(c.order); i++ {
		u := c.order[i]
		for a := c.head[u]; a >= 0; a = c.next[a] {
			if v := c.to[a]; c.left[a^1] > 0 && c.height[v] == n {
				c.height[v] = c.height[u] + 1
				c.order = append(c.order, v)
				c.enqueue(v, sink)
			}
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
	n := int32(len(c.head))
	for c.excess[u] > 0 && c.height[u] < n {
		for ; c.at[u] >= 0; c.at[u] = c.next[c.at[u]] {
			a := c.at[u]
			looked++
			v := c.to[a]
			if c.left[a] == 0 || c.height[u] != c.height[v]+1 {
				continue
			}
			d := min(c.excess[u], c.left[a])
			c.left[a] -= d
			c.left[a^1] += d
			c.excess[u] -= d
			c.excess[v] += d
			c.enqueue(v, sink)
			if c.excess[u] == 0 {
				return looked
			}
		}
		low := int32(math.MaxInt32)
		for a := c.head[u]; a >= 0; a = c.next[a] {
			looked++
			if v := c.to[a]; c.left[a] > 0 {
				low = min(low, c.height[v])
			}
		}
		c.height[u] = n
		if low < n {
			c.height[u] = low + 1
		}
		c.at[u] = c.head[u]
	}
	return looked
}
