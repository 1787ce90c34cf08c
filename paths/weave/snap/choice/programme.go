package choice

import "math"

// Places and lengths are counted in fixed parts of a channel, so that the sums
// that are compared are whole numbers and the optimum is exact.
const (
	placeParts  = 1 << 16
	weightParts = 64
)

// wanted is a square term weight·(k - target)² in a whole number k.
type wanted struct {
	weight int64 // in weightParts
	target int64 // in placeParts
}

// change returns what the term costs more when k becomes k+d, in units of
// 1/(weightParts·placeParts).
func (w wanted) change(k, d int) int64 {
	return w.weight * (2*int64(d)*(int64(k)*placeParts-w.target) + int64(d)*int64(d)*placeParts)
}

func (w wanted) cost(k int) float64 {
	d := float64(int64(k)*placeParts-w.target) / placeParts
	return float64(w.weight) / weightParts * d * d
}

func parts(weight, target float64) wanted {
	return wanted{int64(math.Round(weight * weightParts)), int64(math.Round(target * placeParts))}
}

// problem is the choice of whole numbers k, one to a variable: the least sum of
// the variables' terms and the spacings' terms, under the bounds.
type programme struct {
	terms    [][]wanted // by variable
	least    []int      // by variable, the limits of k
	most     []int
	spacings []spacing
	bounds   []bound
	stopped  func() bool
	work     *int // what was done so far, in variables and arcs looked at
}

// spacing wants k[v]-k[u] to be something.
type spacing struct {
	u, v int
	wanted
}

// bound requires k[v]-k[u] >= least.
type bound struct{ u, v, least int }

// cost returns the value of the sum at k, in channels³.
func (p *programme) cost(k []int) float64 {
	var sum float64
	for i, ts := range p.terms {
		for _, t := range ts {
			sum += t.cost(k[i])
		}
	}
	for _, s := range p.spacings {
		sum += s.cost(k[s.v] - k[s.u])
	}
	return sum
}

// solve moves k, which keeps the bounds, to an optimum. The package comment says
// why there is no better one.
func (p *programme) solve(k []int) {
	d := 1
	p.improve(k, d)
	for moved := true; moved; d = -d {
		moved = p.improve(k, -d)
	}
}

// improve moves the set of variables that gains most by moving together by d, +1
// or -1, as long as there is one, and reports whether there was.
func (p *programme) improve(k []int, d int) bool {
	moved := false
	for {
		if p.stopped() {
			return false
		}
		set := p.bestSet(k, d)
		if len(set) == 0 {
			return moved
		}
		for _, i := range set {
			k[i] += d
		}
		moved = true
	}
}

// bestSet returns a set of variables whose common move by d lowers the cost most,
// none when no move lowers it. It is the source side of a least cut: a variable
// pays to the sink for moving, one that would gain by it supplies what it would
// lose by staying, and a spacing pays when one end moves and the other stays.
func (p *programme) bestSet(k []int, d int) []int {
	n := len(p.terms)
	*p.work += n + len(p.spacings) + len(p.bounds)
	sink := n
	stuck := p.stuck(k, d)
	net := newCutter(n+1, n+len(p.spacings)+len(p.bounds))
	pay := p.payments(k, d, stuck, net)
	var supply int64
	for i, x := range pay {
		if !stuck[i] && x < 0 {
			net.supply(i, -x)
			supply -= x
		} else if !stuck[i] && x > 0 {
			net.add(i, sink, x)
		}
	}
	if supply == 0 {
		return nil
	}
	for _, b := range p.bounds {
		if u, v := b.ends(d); b.blocks(k) && !stuck[u] {
			net.add(u, v, supply) // v cannot be stuck: u would be
		}
	}
	side := net.cut(int32(sink))
	var set []int
	for i := range n {
		if side[i] {
			set = append(set, i)
		}
	}
	return set
}

// payments returns what each variable would pay for moving by d, its spacings'
// arcs aside, which it adds to the network. An arc to a variable that cannot move
// leads to the sink, the last node.
func (p *programme) payments(k []int, d int, stuck []bool, net *cutter) []int64 {
	pay := make([]int64, len(p.terms))
	for i, ts := range p.terms {
		for _, t := range ts {
			pay[i] += t.change(k[i], d)
		}
	}
	for _, s := range p.spacings {
		x := k[s.v] - k[s.u]
		vAlone, uAlone := s.change(x, d), s.change(x, -d)
		pay[s.v] += vAlone
		pay[s.u] -= vAlone
		if stuck[s.u] {
			continue
		}
		to := s.v
		if stuck[to] {
			to = len(p.terms)
		}
		net.add(s.u, to, vAlone+uAlone) // convex: never negative
	}
	return pay
}

// blocks reports whether one of its variables cannot move without the other.
func (b bound) blocks(k []int) bool { return k[b.v]-k[b.u] == b.least }

// ends returns the variable that cannot move by d without the other where b
// blocks, and the other.
func (b bound) ends(d int) (u, v int) {
	if d > 0 {
		return b.u, b.v
	}
	return b.v, b.u
}

// stuck reports which variables cannot move by d, for their own limit or because
// they would have to push one that cannot.
func (p *programme) stuck(k []int, d int) []bool {
	behind := make([][]int32, len(k)) // by variable, those that push it
	for _, b := range p.bounds {
		if u, v := b.ends(d); b.blocks(k) {
			behind[v] = append(behind[v], int32(u))
		}
	}
	out := make([]bool, len(k))
	var queue []int32
	for i := range k {
		if v := k[i] + d; v < p.least[i] || v > p.most[i] {
			out[i] = true
			queue = append(queue, int32(i))
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
