package choice

import "math"

// cutter finds a least cut of a network with whole capacities by Goldberg and
// Tarjan's push-relabel method (J. ACM 35 (1988) 921-940), first in first out,
// relabelled by distance from time to time. It stops when nothing that is left
// can reach the sink: what is held up then lies on the source side.
type cutter struct {
	asked  []asked
	excess []int64 // by node, what it holds

	// The arcs out of node v are first[v] to first[v+1], each beside its reverse
	// in back.
	first  []int32
	to     []int32
	back   []int32
	spare  []int64 // by arc, the capacity that is not used
	height []int32 // by node, a lower bound of its distance to the sink
	at     []int32 // by node, the arc to try next
	queue  []int32
	queued []bool
	order  []int32
}

// asked is an arc as it was added.
type asked struct {
	u, v     int32
	capacity int64
}

func newCutter(nodes, arcs int) *cutter {
	return &cutter{asked: make([]asked, 0, arcs), excess: make([]int64, nodes)}
}

// add puts an arc from u to v.
func (c *cutter) add(u, v int, capacity int64) {
	c.asked = append(c.asked, asked{int32(u), int32(v), capacity})
}

// supply gives node v something to send to the sink.
func (c *cutter) supply(v int, amount int64) { c.excess[v] += amount }

// lay puts the arcs of each node side by side.
func (c *cutter) lay() {
	n, m := len(c.excess), 2*len(c.asked)
	c.first = make([]int32, n+1)
	for _, a := range c.asked {
		c.first[a.u+1]++
		c.first[a.v+1]++
	}
	for v := range n {
		c.first[v+1] += c.first[v]
	}
	c.to, c.back, c.spare = make([]int32, m), make([]int32, m), make([]int64, m)
	c.height, c.queued = make([]int32, n), make([]bool, n)
	c.at = append([]int32(nil), c.first[:n]...)
	for _, a := range c.asked {
		i, j := c.at[a.u], c.at[a.v]
		c.at[a.u]++
		c.at[a.v]++
		c.to[i], c.back[i], c.spare[i] = a.v, j, a.capacity
		c.to[j], c.back[j] = a.u, i
	}
}

// cut sends what it can of all supplies to the sink and returns, for each node,
// whether it is on the source side of a least cut: those where something is held
// up, and those that could still take some of it. All supplies must add up to
// an int64, and no arc may join a node to itself.
func (c *cutter) cut(sink int32) []bool {
	c.lay()
	every := 4*len(c.excess) + len(c.to)
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
	side := make([]bool, len(c.excess))
	c.order = c.order[:0]
	for v, x := range c.excess {
		if x > 0 && int32(v) != sink {
			side[v] = true
			c.order = append(c.order, int32(v))
		}
	}
	for i := 0; i < len(c.order); i++ {
		u := c.order[i]
		for a := c.first[u]; a < c.first[u+1]; a++ {
			if v := c.to[a]; c.spare[a] > 0 && !side[v] {
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
	n := int32(len(c.excess))
	for i := range c.height {
		c.height[i] = n
		c.queued[i] = false
	}
	copy(c.at, c.first)
	c.height[sink] = 0
	c.order = append(c.order[:0], sink)
	c.queue = nil
	for i := 0; i < len(c.order); i++ {
		u := c.order[i]
		for a := c.first[u]; a < c.first[u+1]; a++ {
			if v := c.to[a]; c.height[v] == n && c.spare[c.back[a]] > 0 {
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
	n, end := int32(len(c.excess)), c.first[u+1]
	for c.excess[u] > 0 && c.height[u] < n {
		for ; c.at[u] < end; c.at[u]++ {
			a := c.at[u]
			looked++
			v := c.to[a]
			if c.spare[a] == 0 || c.height[u] != c.height[v]+1 {
				continue
			}
			d := min(c.excess[u], c.spare[a])
			c.spare[a] -= d
			c.spare[c.back[a]] += d
			c.excess[u] -= d
			c.excess[v] += d
			c.enqueue(v, sink)
			if c.excess[u] == 0 {
				return looked
			}
		}
		low := int32(math.MaxInt32)
		for a := c.first[u]; a < end; a++ {
			if c.spare[a] > 0 {
				low = min(low, c.height[c.to[a]])
			}
		}
		looked += int(end - c.first[u])
		c.height[u] = n
		if low < n {
			c.height[u] = low + 1
		}
		c.at[u] = c.first[u]
	}
	return looked
}
