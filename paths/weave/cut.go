package weave

import "math"

// unlimited is a capacity no sum of finite ones reaches.
const unlimited = math.MaxInt64 / 4

// cutter finds a least cut of a network with whole capacities by Dinic's method
// (Soviet Math. Dokl. 11 (1970) 1277-1280): shortest augmenting paths, all of
// one length at a time.
type cutter struct {
	head  []int32 // by node, the first of its arcs, -1 none
	next  []int32 // by arc; arc i^1 is i the other way
	to    []int32
	left  []int64 // capacity left
	level []int32
	at    []int32 // by node, the arc to try next
	queue []int32
}

func newCutter(nodes, arcs int) *cutter {
	c := &cutter{
		head: make([]int32, nodes), level: make([]int32, nodes), at: make([]int32, nodes),
		next: make([]int32, 0, 2*arcs), to: make([]int32, 0, 2*arcs), left: make([]int64, 0, 2*arcs),
	}
	for i := range c.head {
		c.head[i] = -1
	}
	return c
}

// add puts an arc from u to v, and back with capacity back.
func (c *cutter) add(u, v int, there, back int64) {
	i := int32(len(c.to))
	c.to = append(c.to, int32(v), int32(u))
	c.left = append(c.left, there, back)
	c.next = append(c.next, c.head[u], c.head[v])
	c.head[u], c.head[v] = i, i+1
}

// cut saturates the network from s to t. The nodes that s still reaches, by
// reached, are the smallest source side of a least cut.
func (c *cutter) cut(s, t int) {
	for c.layer(s, t) {
		copy(c.at, c.head)
		for c.push(int32(s), int32(t), unlimited) > 0 {
		}
	}
}

func (c *cutter) reached(v int) bool { return c.level[v] >= 0 }

// layer numbers the nodes by their distance from s and reports whether t is one.
func (c *cutter) layer(s, t int) bool {
	for i := range c.level {
		c.level[i] = -1
	}
	c.level[s] = 0
	c.queue = append(c.queue[:0], int32(s))
	for i := 0; i < len(c.queue); i++ {
		u := c.queue[i]
		for a := c.head[u]; a >= 0; a = c.next[a] {
			if v := c.to[a]; c.left[a] > 0 && c.level[v] < 0 {
				c.level[v] = c.level[u] + 1
				c.queue = append(c.queue, v)
			}
		}
	}
	return c.level[t] >= 0
}

// push sends up to limit from u to t along the layers and returns how much went.
func (c *cutter) push(u, t int32, limit int64) int64 {
	if u == t {
		return limit
	}
	var sent int64
	for ; c.at[u] >= 0; c.at[u] = c.next[c.at[u]] {
		a := c.at[u]
		v := c.to[a]
		if c.left[a] <= 0 || c.level[v] != c.level[u]+1 {
			continue
		}
		d := c.push(v, t, min(limit-sent, c.left[a]))
		c.left[a] -= d
		c.left[a^1] += d
		if sent += d; sent == limit {
			break
		}
	}
	return sent
}
