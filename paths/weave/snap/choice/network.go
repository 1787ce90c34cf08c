package choice

import (
	"slices"

	"weftplot/paths/near"
)

// network is a programme as a network whose least cuts are the best sets to move: a node
// for each variable, or for several that bounds hold so many channels apart, in the order
// of their places so that neighbours are near each other in memory, and a sink. A node
// pays to the sink for moving, one that would gain by it supplies what it would lose by
// staying, and a spacing pays when one end moves and the other stays. The arcs are laid
// once; what they can carry is set for each cut.
type network struct {
	*programme
	cutter
	node    []int32 // by variable
	sink    int32
	between []int32 // the spacings of different nodes, by their numbers
	binding []int32 // the bounds of different nodes, by theirs
	pay     []int64 // by node, what it would pay for moving, its spacings' arcs aside
	barred  []bool  // by node, whether it cannot move
	forces  *forces
}

// forces are the dual variables of a programme: for each spacing by how much the cost
// grows with it, or would shrink, and for each bound how hard it is pressed. They are
// what the arcs of a network carry, put so that it holds for moves up and down alike.
// Little changes from one cut to the next and from one node of the search to the next,
// so a cut begins with the forces that the one before found. What it finds in the end
// does not depend on them.
type forces struct {
	spacings []int64
	bounds   []bound // in the order of u
	pressed  []int64 // by bound
}

// network lays the network of p: the arcs to the sink first, then those of the spacings
// and those of the bounds.
func (p *programme) network() *network {
	t := &network{programme: p, forces: p.forces}
	if t.forces == nil {
		t.forces = &forces{}
	}
	t.forces.fit(p.bounds)
	t.node, t.sink = p.nodes()
	for i, s := range p.spacings {
		if t.node[s.u] != t.node[s.v] {
			t.between = append(t.between, int32(i))
		}
	}
	for i, b := range p.bounds {
		if t.node[b.u] != t.node[b.v] {
			t.binding = append(t.binding, int32(i))
		}
	}
	n := int(t.sink)
	t.pay, t.barred = make([]int64, n), make([]bool, n)
	t.cutter = newCutter(n+1, n+len(t.between)+len(t.binding))
	for v := range t.sink {
		t.add(v, t.sink)
	}
	for _, i := range t.between {
		s := &p.spacings[i]
		t.add(t.node[s.u], t.node[s.v])
	}
	for _, i := range t.binding {
		b := &p.bounds[i]
		t.add(t.node[b.u], t.node[b.v])
	}
	t.lay()
	return t
}

// nodes returns the node of each variable, and how many there are. Two variables are one
// node where bounds hold them so many channels apart: they only move together.
func (p *programme) nodes() (node []int32, count int32) {
	held := near.NewSets(len(p.terms))
	from := make([][]bound, len(p.terms)) // by u
	for i := 0; i < len(p.bounds); {
		j, u := i, p.bounds[i].u
		for j < len(p.bounds) && p.bounds[j].u == u {
			j++
		}
		from[u] = p.bounds[i:j]
		i = j
	}
	for _, b := range p.bounds {
		if slices.Contains(from[b.v], bound{b.v, b.u, -b.least}) {
			held.Join(b.u, b.v)
		}
	}
	node = slices.Repeat([]int32{-1}, len(p.terms))
	for _, v := range p.upwards() {
		first := held.Find(v)
		if node[first] < 0 {
			node[first] = count
			count++
		}
		node[v] = node[first]
	}
	return node, count
}

// fit makes the forces those of the bounds given, which are in the order of u, too: those
// that were there keep theirs.
func (f *forces) fit(bounds []bound) {
	pressed := make([]int64, len(bounds))
	first := 0
	for i, b := range bounds {
		for first < len(f.bounds) && f.bounds[first].u < b.u {
			first++
		}
		for j := first; j < len(f.bounds) && f.bounds[j].u == b.u; j++ {
			if f.bounds[j] == b {
				pressed[i] = f.pressed[j]
			}
		}
	}
	f.bounds, f.pressed = bounds, pressed
}

// bestSet returns a set of variables whose common move by d lowers the cost most, the
// least of such sets, none when no move lowers it.
func (t *network) bestSet(k []int, d int) []int {
	*t.work += len(t.terms) + len(t.spacings) + len(t.bounds) + t.implied
	clear(t.barred)
	for i, is := range t.stuck(k, d) {
		t.barred[t.node[i]] = t.barred[t.node[i]] || is
	}
	t.price(k, d)
	if !t.gains() {
		return nil
	}
	t.open(k, d)
	side := t.cut(t.sink)
	t.note(k, d)
	var set []int
	for i, v := range t.node {
		if side[v] {
			set = append(set, i)
		}
	}
	return set
}

// gains reports whether a node that can move would gain by it.
func (t *network) gains() bool {
	for v, x := range t.pay {
		if x < 0 && !t.barred[v] {
			return true
		}
	}
	return false
}

// price notes what each node would pay for moving by d.
func (t *network) price(k []int, d int) {
	clear(t.pay)
	for i, ts := range t.terms {
		for _, w := range ts {
			t.pay[t.node[i]] += w.change(k[i], d)
		}
	}
	for _, i := range t.between {
		s := &t.spacings[i]
		alone := s.change(k[s.v]-k[s.u], d)
		t.pay[t.node[s.v]] += alone
		t.pay[t.node[s.u]] -= alone
	}
}

// endless is what an arc can carry that is in no least cut: more than all supplies, and
// so much less than what an int64 holds that nothing overflows.
const endless = 1 << 60

// open sets what the arcs can carry for a move by d, and what they carry to begin with.
// A node that cannot move counts as the sink: its arc there carries all there is.
func (t *network) open(k []int, d int) {
	t.begin()
	if t.forces.spacings == nil { // the slopes of the terms themselves
		t.forces.spacings = make([]int64, len(t.spacings))
		for i, s := range t.spacings {
			t.forces.spacings[i] = s.slope(k[s.v] - k[s.u])
		}
	}
	arc := len(t.pay)
	for _, i := range t.between {
		s := &t.spacings[i]
		x := k[s.v] - k[s.u]
		more := s.change(x, d)
		t.set(arc, more+s.change(x, -d), 0, more-int64(d)*t.forces.spacings[i]) // convex: never negative
		arc++
	}
	for _, i := range t.binding {
		switch {
		case !t.bounds[i].blocks(k):
			t.set(arc, 0, 0, 0)
		case d > 0:
			t.set(arc, endless, 0, t.forces.pressed[i])
		default:
			t.set(arc, 0, endless, -t.forces.pressed[i])
		}
		arc++
	}
	for v, x := range t.pay { // last, for they carry what has come together by now
		switch {
		case t.barred[v]:
			x = endless
		case x < 0:
			t.excess[v] -= x
			x = 0
		}
		t.set(v, x, 0, max(0, t.excess[v]))
	}
}

// note keeps the forces that came of a cut.
func (t *network) note(k []int, d int) {
	arc := len(t.pay)
	for _, i := range t.between {
		s := &t.spacings[i]
		t.forces.spacings[i] = int64(d) * (s.change(k[s.v]-k[s.u], d) - t.carried(arc))
		arc++
	}
	for _, i := range t.binding {
		t.forces.pressed[i] = int64(d) * t.carried(arc)
		arc++
	}
}

// stuck reports which variables cannot move by d, for their own limit or because
// they would have to push one that cannot.
func (p *programme) stuck(k []int, d int) []bool {
	out := make([]bool, len(k))
	var queue []int32
	for i := range k {
		if v := k[i] + d; v < p.least[i] || v > p.most[i] {
			out[i] = true
			queue = append(queue, int32(i))
		}
	}
	if len(queue) == 0 {
		return out
	}
	behind := groupsOf(len(p.bounds), len(k), func(i int) int { // by variable, what pushes it
		_, v := p.bounds[i].ends(d)
		return v
	})
	for ; len(queue) > 0; queue = queue[1:] {
		for _, i := range behind.of(int(queue[0])) {
			b := p.bounds[i]
			if u, _ := b.ends(d); b.blocks(k) && !out[u] {
				out[u] = true
				queue = append(queue, int32(u))
			}
		}
	}
	return out
}
