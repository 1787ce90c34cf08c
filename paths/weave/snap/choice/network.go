package choice

// network is a programme as a network whose least cuts are the best sets to move: a node
// for each variable, in the order of their places so that neighbours are near each other
// in memory, and a sink. A variable pays to the sink for moving, one that would
// gain by it supplies what it would lose by staying, and a spacing pays when one end
// moves and the other stays. The arcs are laid once; what they can carry is set for each
// cut. Little changes from one cut to the next of a direction, so a cut begins with what
// the one before sent.
type network struct {
	*programme
	cutter
	sink   int
	pay    []int64    // by variable, what it would pay for moving, its spacings' arcs aside
	sent   [2][]int64 // by direction and arc, what the last cut sent
	supply int64      // of all variables
	barred []bool     // by variable, whether it cannot move
}

// network lays the network of p: the arcs to the sink first, then those of the spacings
// and those of the bounds.
func (p *programme) network() *network {
	n := len(p.terms)
	arcs := n + len(p.spacings) + len(p.bounds)
	net := &network{programme: p, cutter: newCutter(n+1, arcs), sink: n, pay: make([]int64, n)}
	net.sent = [2][]int64{make([]int64, arcs), make([]int64, arcs)}
	for _, v := range p.place {
		net.add(v, n)
	}
	for _, s := range p.spacings {
		net.add(p.place[s.u], p.place[s.v])
	}
	for _, b := range p.bounds {
		net.add(p.place[b.u], p.place[b.v])
	}
	net.lay()
	return net
}

// bestSet returns a set of variables whose common move by d lowers the cost most, the
// least of such sets, none when no move lowers it.
func (t *network) bestSet(k []int, d int) []int {
	*t.work += len(t.terms) + len(t.spacings) + len(t.bounds) + t.implied
	t.barred = t.stuck(k, d)
	t.price(k, d)
	if t.supply == 0 {
		return nil
	}
	sent := t.sent[(1-d)/2]
	t.open(k, d, sent)
	side := t.cut(int32(t.sink))
	t.carried(sent)
	var set []int
	for i := range t.terms {
		if side[t.place[i]] {
			set = append(set, i)
		}
	}
	return set
}

// price notes what each variable would pay for moving by d, and what all that would
// gain by it supply.
func (t *network) price(k []int, d int) {
	for i, ts := range t.terms {
		t.pay[i] = 0
		for _, w := range ts {
			t.pay[i] += w.change(k[i], d)
		}
	}
	for _, s := range t.spacings {
		alone := s.change(k[s.v]-k[s.u], d)
		t.pay[s.v] += alone
		t.pay[s.u] -= alone
	}
	t.supply = 0
	for i, x := range t.pay {
		if x < 0 && !t.barred[i] {
			t.supply -= x
		}
	}
}

// open sets what the arcs can carry for a move by d, and what they carry to begin with.
// A variable that cannot move counts as the sink: its arc there carries all there is.
func (t *network) open(k []int, d int, sent []int64) {
	t.begin()
	arc := 0
	for i, x := range t.pay {
		switch {
		case t.barred[i]:
			x = t.supply
		case x < 0:
			t.excess[t.place[i]] -= x
			x = 0
		}
		t.set(arc, x, 0, sent[arc])
		arc++
	}
	for _, s := range t.spacings {
		x := k[s.v] - k[s.u]
		t.set(arc, s.change(x, d)+s.change(x, -d), 0, sent[arc]) // convex: never negative
		arc++
	}
	for _, b := range t.bounds {
		switch {
		case !b.blocks(k):
			t.set(arc, 0, 0, 0)
		case d > 0:
			t.set(arc, t.supply, 0, sent[arc])
		default:
			t.set(arc, 0, t.supply, sent[arc])
		}
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
	behind := make([][]int32, len(k)) // by variable, those that push it
	for _, b := range p.bounds {
		if u, v := b.ends(d); b.blocks(k) {
			behind[v] = append(behind[v], int32(u))
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		for _, u := range behind[queue[0]] {
			if !out[u] {
				out[u] = true
				queue = append(queue, u)
			}
		}
	}
	return out
}
