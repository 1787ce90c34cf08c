package choice

import (
	"math"
	"slices"
)

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

// slope returns the slope of the term at k, in the same units for a channel.
func (w wanted) slope(k int) int64 { return 2 * w.weight * (int64(k)*placeParts - w.target) }

func (w wanted) cost(k int) float64 {
	d := float64(int64(k)*placeParts-w.target) / placeParts
	return float64(w.weight) / weightParts * d * d
}

func parts(weight, target float64) wanted {
	return wanted{int64(math.Round(weight * weightParts)), int64(math.Round(target * placeParts))}
}

// programme is the choice of whole numbers k, one to a variable: the least sum of
// the variables' terms and the spacings' terms, under the bounds.
type programme struct {
	terms    [][]wanted // by variable
	least    []int      // by variable, the limits of k
	most     []int
	place    []int // by variable, its rank in the order of places
	spacings []spacing
	bounds   []bound
	implied  int // how many bounds the statement has beside these, which follow from them
	stopped  func() bool
	forces   *forces // to begin with; nil for none
	work     *int    // what was done so far, in variables and arcs looked at
}

// spacing wants k[v]-k[u] to be something.
type spacing struct {
	u, v int
	wanted
}

// bound requires k[v]-k[u] >= least.
type bound struct{ u, v, least int }

// upwards returns the variables in the order of their places.
func (p *programme) upwards() []int {
	out := make([]int, len(p.place))
	for v, rank := range p.place {
		out[rank] = v
	}
	return out
}

// downwards is upwards the other way round.
func (p *programme) downwards() []int {
	out := p.upwards()
	slices.Reverse(out)
	return out
}

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
	net := p.network()
	p.improve(net, k, 1)
	p.improve(net, k, -1)
}

// improve moves the set of variables that gains most by moving together by d, +1
// or -1, as long as there is one.
func (p *programme) improve(net *network, k []int, d int) {
	for !p.stopped() {
		set := net.bestSet(k, d)
		if len(set) == 0 {
			return
		}
		for _, i := range set {
			k[i] += d
		}
	}
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
