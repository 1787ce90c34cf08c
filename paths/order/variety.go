package order

import "math"

// Of the children of two parents, the best is the one that gains most for the variety that is
// lost (the selection of Nagata and Kobayashi 2013). The variety of many tours is the
// entropy of their hops: the sum of -x ln x over all hops that are in a share x of the tours.
// If the gain alone counted, all tours would soon be alike, and there would be nothing left
// to exchange.

// A variety is what the tours of one generation are joined by.
type variety struct {
	hops    [][]shared // by end; those of dots and loops at their first end
	entropy []float64  // by in how many tours a hop is: what it adds
}

// A shared hop leads to an end in so many tours.
type shared struct{ to, tours int32 }

// leastLost is the least loss that counts: a child that adds to the variety, or loses next to
// none, is chosen before all others.
const leastLost = 1e-3

// varietyOf returns the variety of tours of the same strokes.
func varietyOf(tours []*ordering) *variety {
	f := tours[0].f
	n := len(tours)
	v := &variety{hops: make([][]shared, len(f.pos)), entropy: make([]float64, n+2)}
	for k := 1; k < len(v.entropy); k++ {
		x := float64(k) / float64(n)
		v.entropy[k] = -x * math.Log(x)
	}
	joined := make([][]int32, n)
	sideBySide(n, func(i int) { joined[i] = tours[i].joined() })
	const block = 500
	sideBySide((len(f.pos)+block-1)/block, func(i int) {
		for e := i * block; e < min(len(f.pos), (i+1)*block); e++ {
			at := f.sole(int32(e))
			for _, to := range joined {
				v.hops[at] = counted(v.hops[at], f.sole(to[e]))
			}
		}
	})
	return v
}

// counted counts a hop to an end.
func counted(hops []shared, to int32) []shared {
	for i := range hops {
		if hops[i].to == to {
			hops[i].tours++
			return hops
		}
	}
	return append(hops, shared{to, 1})
}

// sole returns the first end of a dot or loop, whose ends are the same, and any other end as
// it is.
func (f *instance) sole(e int32) int32 {
	if f.single(e >> 1) {
		return e &^ 1
	}
	return e
}

// tours returns in how many tours there is a hop between two ends.
func (v *variety) tours(f *instance, a, b int32) int {
	a, b = f.sole(a), f.sole(b)
	for _, h := range v.hops[a] {
		if h.to == b {
			return int(h.tours)
		}
	}
	return 0
}

// lost returns how much variety is lost if the first parent takes an AB-cycle.
func (v *variety) lost(f *instance, cycle []int32) (sum float64) {
	for i, e := range cycle {
		k := v.tours(f, e, cycle[(i+1)%len(cycle)])
		if i%2 == 0 { // a hop of the first parent
			sum += v.entropy[k] - v.entropy[k-1]
		} else {
			sum += v.entropy[k] - v.entropy[k+1]
		}
	}
	return sum
}
