package carry

import (
	"math"
	"sort"
)

// border is the guides of a border between two rows, in the order of their places.
type border struct {
	guides []*Guide
	// Where a coordinate lies among them is looked for first by bounds that hold at
	// every height: no guide up to i lies above most[i], and none from i on below least[i].
	most, least []float64
}

// bound notes the bounds of the places of the guides. They are a little wide, since a
// place between two knots is rounded.
func (b *border) bound() {
	const wide = 1e-9 // mm
	n := len(b.guides)
	b.most, b.least = make([]float64, n), make([]float64, n)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, g := range b.guides {
		for _, k := range g.At {
			hi = max(hi, k.Fixed+wide)
		}
		b.most[i] = hi
	}
	for i := n - 1; i >= 0; i-- {
		for _, k := range b.guides[i].At {
			lo = min(lo, k.Fixed-wide)
		}
		b.least[i] = lo
	}
}

// after returns the number of the first guide that lies above u at v.
func (b *border) after(u, v float64) int {
	i := sort.Search(len(b.most), func(k int) bool { return b.most[k] > u })
	j := i
	for j < len(b.least) && j <= i+1 && b.least[j] <= u {
		j++
	}
	switch {
	case i == j:
		return i
	case i+1 < j: // several may lie on either side, and even cross
		return sort.Search(len(b.guides), func(k int) bool { return b.guides[k].fixedAt(v) > u })
	case b.guides[i].fixedAt(v) > u:
		return i
	}
	return j
}

// atBorder evaluates the map of one border.
func (f *Carrier) atBorder(i int, u, v float64) float64 {
	if i < 0 || i >= len(f.border) || len(f.border[i].guides) == 0 {
		return u
	}
	set := f.border[i].guides
	j := f.border[i].after(u, v)
	k := knots{f.fade, set, v}
	a, b := k.pass(j-1), k.pass(j)
	switch {
	case j > 0 && u <= a.x:
		return a.y
	case j < len(set) && u >= b.x: // leaning lines that cross
		return max(a.y, min(u, b.y))
	}
	w := k.way(a, b)
	p, q := w.at(w.t), w.at(1-w.t)
	switch {
	case u <= q.x && j == 0, u >= p.x && j == len(set):
		return u
	case j == 0:
		return hermiteCubic(q, 1, b, k.slope(q, b, j+1), u)
	case j == len(set):
		return hermiteCubic(a, k.slopeBack(j-2, a, p), p, 1, u)
	}
	switch {
	case u < p.x:
		return hermiteCubic(a, k.slopeBack(j-2, a, p), p, w.slope(a, p, q), u)
	case u <= q.x:
		return hermiteCubic(p, w.slope(a, p, q), q, w.slope(p, q, b), u)
	}
	return hermiteCubic(q, w.slope(p, q, b), b, k.slope(q, b, j+1), u)
}
