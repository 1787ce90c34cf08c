package weave

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

// step returns the change of the term when k becomes k+1, in units of
// 1/(weightParts·placeParts).
func (w wanted) step(k int) int64 {
	return w.weight * (2*(int64(k)*placeParts-w.target) + placeParts)
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
type problem struct {
	terms    [][]wanted // by variable
	settled  []bool     // variables that may not move from where they start
	spacings []spacing
	bounds   []bound
}

// spacing wants k[v]-k[u] to be something.
type spacing struct {
	u, v int
	wanted
}

// bound requires k[v]-k[u] >= least.
type bound struct{ u, v, least int }

// cost returns the value of the sum at k, in channels³.
func (p *problem) cost(k []int) float64 {
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

// holds reports whether k keeps every bound.
func (p *problem) holds(k []int) bool {
	for _, b := range p.bounds {
		if k[b.v]-k[b.u] < b.least {
			return false
		}
	}
	return true
}

// solve moves k, which keeps the bounds, to an optimum. The package comment says
// why there is no better one.
func (p *problem) solve(k []int) {
	for {
		up := p.improve(k, +1)
		if down := p.improve(k, -1); !up && !down {
			return
		}
	}
}

// improve moves by d, +1 or -1, the set of variables that gains most by moving
// together, as long as there is one, and reports whether there was.
func (p *problem) improve(k []int, d int) bool {
	moved := false
	for {
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

// bestSet returns the smallest of the sets of variables whose common move by d
// lowers the cost most. It is the source side of a least cut: a variable pays
// for moving to the sink and for staying to the source, and a spacing pays when
// one end moves and the other stays.
func (p *problem) bestSet(k []int, d int) []int {
	n := len(p.terms)
	source, sink := n, n+1
	pay := make([]int64, n) // what moving alone would cost
	for i, ts := range p.terms {
		for _, t := range ts {
			pay[i] += change(t, k[i], d)
		}
	}
	net := newCutter(n+2, n+len(p.spacings)+len(p.bounds))
	for _, s := range p.spacings {
		x := k[s.v] - k[s.u]
		vAlone, uAlone := change(s.wanted, x, d), change(s.wanted, x, -d)
		pay[s.v] += vAlone
		pay[s.u] -= vAlone
		// Convexity: the sum is never negative.
		net.add(s.u, s.v, vAlone+uAlone, 0)
	}
	for _, b := range p.bounds {
		if k[b.v]-k[b.u] > b.least {
			continue
		}
		if d > 0 {
			net.add(b.u, b.v, unlimited, 0)
		} else {
			net.add(b.v, b.u, unlimited, 0)
		}
	}
	gain := false
	for i := range n {
		switch {
		case p.settled[i]:
			net.add(i, sink, unlimited, 0)
		case pay[i] < 0:
			net.add(source, i, -pay[i], 0)
			gain = true
		case pay[i] > 0:
			net.add(i, sink, pay[i], 0)
		}
	}
	if !gain {
		return nil
	}
	net.cut(source, sink)
	var set []int
	for i := range n {
		if net.reached(i) {
			set = append(set, i)
		}
	}
	return set
}

// change returns what the term costs more when k moves by d, +1 or -1.
func change(t wanted, k, d int) int64 {
	if d > 0 {
		return t.step(k)
	}
	return -t.step(k - 1)
}
