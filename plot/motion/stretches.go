package motion

import (
	"math"
	"slices"

	"weftplot/paths"
)

// Stretch is a part of a move along which the speed stays between two of the
// given speeds.
type Stretch struct {
	Block int         // the block it is part of
	Curve paths.Curve // its path
	// Class is how many of the speeds lie below that of the stretch.
	Class int
}

// Stretches cuts the planned motion where its speed passes one of the given
// speeds, in mm/s and ascending, and returns the stretches between in order.
// Holds and moves without length give none. The cost is linear in the number of
// moves and of speeds.
func (p Profile) Stretches(speeds []float64) []Stretch {
	var out []Stretch
	for _, q := range p.pieces {
		if q.curve == nil {
			continue
		}
		cuts := q.passes(speeds, p.accel)
		for i := 1; i < len(cuts); i++ {
			a, b := cuts[i-1], cuts[i]
			if !(b-a > 1e-9) {
				continue
			}
			c := q.curve
			if len(cuts) > 2 {
				c = paths.Sub(c, parameterAlong(q.curve, a), parameterAlong(q.curve, b))
			}
			class, _ := slices.BinarySearch(speeds, q.speedAt((a+b)/2*q.len, p.accel))
			out = append(out, Stretch{q.block, c, class})
		}
	}
	return out
}

// passes returns 0, the shares of the piece's length after which its speed is
// one of the given, and 1, ascending: on the way up to the peak and down from
// it, by v² = v0² + 2as.
func (q piece) passes(speeds []float64, a float64) []float64 {
	cuts := []float64{0}
	put := func(along float64) {
		if f := along / q.len; f > cuts[len(cuts)-1] && f < 1 {
			cuts = append(cuts, f)
		}
	}
	for _, v := range speeds {
		if v > q.in && v < q.peak {
			put((v*v - q.in*q.in) / (2 * a))
		}
	}
	for _, v := range slices.Backward(speeds) {
		if v > q.out && v < q.peak {
			put(q.len - (v*v-q.out*q.out)/(2*a))
		}
	}
	return append(cuts, 1)
}

// speedAt returns the speed after a length along the piece.
func (q piece) speedAt(along, a float64) float64 {
	up := q.in*q.in + 2*a*along
	down := q.out*q.out + 2*a*(q.len-along)
	return min(q.peak, math.Sqrt(min(up, down)))
}

// Fastest returns the greatest speed, in mm/s, that is reached in the blocks
// for which want is true.
func (p Profile) Fastest(want func(block int) bool) float64 {
	v := 0.0
	for _, q := range p.pieces {
		if q.curve != nil && want(q.block) {
			v = max(v, q.peak)
		}
	}
	return v
}
