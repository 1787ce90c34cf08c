package bound

import (
	"cmp"
	"math"
	"slices"
)

// A label is the cheapest walk so far of those that end with one visit and mind the same strokes.
type label struct {
	minds uint64  // a bit for each stroke
	cost  float64 // hops less prices, mm
	visit int32
	from  int32 // the place of the walk without its last visit, in the layer before; -1 in the first
}

// paid returns the sum of the prices.
func (w *walker) paid() (sum float64) {
	for _, p := range w.price {
		sum += p
	}
	return sum
}

// layers returns the labels of walks with one visit, with two and so on, each layer by visit. A
// label is left out when another of the same visit is no dearer and minds no stroke that it
// does not, and when all walks that go on from it are dearer than the tour known.
func (w *walker) layers() [][]label {
	rest := w.rest()
	out := make([][]label, 1, w.strokes)
	for i, v := range w.visits {
		out[0] = append(out[0], label{1 << v.stroke, w.come[i] - w.price[v.stroke], int32(i), -1})
	}
	for k := 1; k < w.strokes; k++ {
		var next []label
		for s := range w.strokes {
			next = w.reach(next, out[k-1], rest[w.strokes-1-k], s)
		}
		out = append(out, next)
	}
	return out
}

// rest returns, by the number of visits still to come and by visit, what the rest of a walk costs at
// least from there on, less what a walk as dear as the tour known may cost.
func (w *walker) rest() [][]float64 {
	n := len(w.visits)
	most := w.tour*(1+slack) - w.paid()
	out := make([][]float64, w.strokes)
	for k := range out {
		out[k] = make([]float64, n)
		for i := range n {
			if k == 0 {
				out[k][i] = w.leave[i] - most
				continue
			}
			out[k][i] = math.Inf(1)
			for j, d := range w.hop[i*n : i*n+n] {
				if o := w.visits[j].stroke; o != w.visits[i].stroke {
					out[k][i] = min(out[k][i], d+out[k-1][j]-w.price[o])
				}
			}
		}
	}
	w.work += n * n * w.strokes
	return out
}

// reach appends the labels of walks that come to a stroke from the labels of the layer before.
func (w *walker) reach(to, last []label, rest []float64, stroke int) []label {
	n, lo, hi := len(w.visits), w.first[stroke], w.first[stroke+1]
	many := hi - lo
	place := map[uint64]int{} // by the strokes minded: where in best
	var best []label          // by the strokes minded and visit
	for from, l := range last {
		if l.minds&(1<<stroke) != 0 {
			continue
		}
		minds := l.minds&w.minded[stroke] | 1<<stroke
		at, ok := place[minds]
		if !ok {
			at = len(best)
			place[minds] = at
			for k := range many {
				best = append(best, label{minds, math.Inf(1), int32(lo + k), -1})
			}
		}
		b := best[at : at+many]
		for k, d := range w.hop[int(l.visit)*n+lo : int(l.visit)*n+hi] {
			if c := l.cost + d; c < b[k].cost {
				b[k].cost, b[k].from = c, int32(from)
			}
		}
		w.work += many
	}
	var of []label
	for k := range many {
		of = of[:0]
		for at := k; at < len(best); at += many {
			l := best[at]
			if l.cost -= w.price[stroke]; l.cost+rest[lo+k] <= 0 {
				of = append(of, l)
			}
		}
		to = appendBest(to, of)
	}
	return to
}

// appendBest appends those labels of one visit to which no other is to be preferred.
func appendBest(to, of []label) []label {
	slices.SortFunc(of, func(a, b label) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.minds, b.minds))
	})
	start := len(to)
	for _, l := range of {
		if !slices.ContainsFunc(to[start:], func(o label) bool { return o.minds&^l.minds == 0 }) {
			to = append(to, l)
		}
	}
	return to
}

// cheapest returns the bound of the cheapest walk and its visits: the tour known and none, where all
// walks are dearer than that.
func (w *walker) cheapest(layers [][]label) (bound float64, walk []int) {
	bound = math.Inf(1)
	at := -1
	for i, l := range layers[len(layers)-1] {
		if c := l.cost + w.leave[l.visit] + w.paid(); c < bound {
			bound, at = c, i
		}
	}
	if at < 0 {
		return w.tour, nil
	}
	for k := len(layers) - 1; k >= 0; k-- {
		l := layers[k][at]
		walk, at = append(walk, int(l.visit)), int(l.from)
	}
	slices.Reverse(walk)
	return bound, walk
}
