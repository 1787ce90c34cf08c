package order

import "weftplot/paths"

// A tour draws all strokes of an instance and returns to its start. It is an
// array of the ends by which the strokes are entered, with a log to undo
// changes.
type tour struct {
	*instance
	near *neighbours
	seq  []int32 // the end by which the k-th stroke is entered
	at   []int32 // by stroke: its place in seq
	hops []hop   // by end
	log  []change
	work int // neighbours examined, and other steps that take as long
}

// A hop is the pen-up way at an end.
type hop struct {
	cost float64
	to   int32 // the end it leads to
}

// A change is a flip, or the entry of a loop moved.
type change struct {
	a, b, c, d int32       // of a flip
	was        paths.Point // where loop a was entered; b is -1
}

func newTour(f *instance, near *neighbours, seq []int32) *tour {
	t := &tour{instance: f, near: near, seq: seq, at: make([]int32, len(seq)), hops: make([]hop, len(f.pos))}
	t.reset()
	return t
}

// reset recomputes everything that follows from seq and the positions.
func (t *tour) reset() {
	last := t.seq[len(t.seq)-1]
	for k, e := range t.seq {
		t.at[e>>1] = int32(k)
		t.link(last^1, e)
		last = e
	}
	t.log = t.log[:0]
}

// link notes the hop between two ends.
func (t *tour) link(a, b int32) {
	d := t.d(a, b)
	t.hops[a], t.hops[b] = hop{d, b}, hop{d, a}
}

// entered reports whether the tour, as stored, enters a stroke by e.
func (t *tour) entered(e int32) bool { return t.seq[t.at[e>>1]] == e }

// partner returns the end that end e is joined to by a hop.
func (t *tour) partner(e int32) int32 { return t.hops[e].to }

// flip takes out the hops a-b and d-c and puts in b-c and a-d. Both b and c, or
// both a and d, must be ends by which the tour enters.
func (t *tour) flip(a, b, c, d int32) {
	t.turn(a, b, c, d)
	t.log = append(t.log, change{a: a, b: b, c: c, d: d})
}

func (t *tour) turn(a, b, c, d int32) {
	if t.entered(a) {
		t.reverse(t.at[a>>1], t.at[c>>1])
	} else {
		t.reverse(t.at[b>>1], t.at[d>>1])
	}
	t.link(b, c)
	t.link(a, d)
}

// reverse reverses the places from i up to j, or all the others when those are
// fewer: the closed tour is the same.
func (t *tour) reverse(i, j int32) {
	n := int32(len(t.seq))
	count := j - i + 1
	if count <= 0 {
		count += n
	}
	if 2*count > n {
		i, j, count = j+1, i-1, n-count
		if i == n {
			i = 0
		}
		if j < 0 {
			j = n - 1
		}
	}
	t.work += int(count) / 16
	seq, at := t.seq, t.at
	for ; count > 1; count -= 2 {
		x, y := seq[i]^1, seq[j]^1
		seq[i], seq[j] = y, x
		at[y>>1], at[x>>1] = i, j
		if i++; i == n {
			i = 0
		}
		if j--; j < 0 {
			j = n - 1
		}
	}
	if count == 1 {
		seq[i] ^= 1
	}
}

// enter moves the entry of a loop.
func (t *tour) enter(loop int32, p paths.Point) {
	t.log = append(t.log, change{a: loop, b: -1, was: t.pos[2*loop]})
	t.put(loop, p)
}

func (t *tour) put(loop int32, p paths.Point) {
	a, b := 2*loop, 2*loop+1
	t.pos[a], t.pos[b] = p, p
	t.link(a, t.hops[a].to)
	t.link(b, t.hops[b].to)
}

// undo takes changes back until the log is as long as mark.
func (t *tour) undo(mark int) {
	for len(t.log) > mark {
		c := t.log[len(t.log)-1]
		t.log = t.log[:len(t.log)-1]
		if c.b < 0 {
			t.put(c.a, c.was)
		} else {
			t.turn(c.a, c.d, c.c, c.b)
		}
	}
}

// inSegment reports whether the stroke of end e comes at or after the stroke of
// a and at or before the stroke of b, going forward.
func (t *tour) inSegment(a, e, b int32) bool {
	i, k, j := t.at[a>>1], t.at[e>>1], t.at[b>>1]
	if i <= j {
		return i <= k && k <= j
	}
	return i <= k || k <= j
}
