package fit

import (
	"math"
	"slices"

	"weftplot/paths"
)

// A way is a chain of pieces that ends at a spot.
type way struct {
	to     spot
	size   int     // characters of its text
	piece  piece   // the last, of no length where none was needed
	off    float64 // how far that is from the stroke at most, mm
	before *way

	bows     bows // of the last piece, if its radius is still to be chosen or may change
	radius   float64
	decimals int  // of that radius
	bend     int  // characters that its words of a centre or a radius take
	doubted  bool // whether the last piece is not known to keep the tolerance
}

// unwind returns the pieces of a way, and how far each is off; nil where there are none.
func (v *way) unwind() (out paths.Stroke, off []float64) {
	for ; v != nil; v = v.before {
		if v.piece.From != v.piece.To || v.piece.Sweep != 0 {
			out, off = append(out, v.piece.curve()), append(off, v.off)
		}
	}
	slices.Reverse(out)
	slices.Reverse(off)
	return out, off
}

// along returns the way that goes on along a piece to a spot, with so many characters for
// words beside its end; it is off the stroke by so many mm at most.
func (v *way) along(p piece, to spot, bend int, off float64) *way {
	size := v.size + 1 + bend // the end of the line
	if to.x != v.to.x {
		size += 1 + characters(to.x)
	}
	if to.y != v.to.y {
		size += 1 + characters(to.y)
	}
	if motion(p) != motion(v.piece) {
		size += len("G1")
	}
	return &way{to: to, size: size, piece: p, off: off, before: v, bend: bend}
}

// motion tells the three words of motion apart: a line and the two senses of an arc.
func motion(p piece) float64 {
	if p.Sweep == 0 {
		return 0
	}
	return math.Copysign(1, p.Sweep)
}

// keep adds a way to those that end at the corner, of which it keeps one for each spot.
func keep(out []*way, v *way) []*way {
	if v == nil {
		return out
	}
	for k, other := range out {
		if other.to.x == v.to.x && other.to.y == v.to.y {
			if v.size < other.size {
				out[k] = v
			}
			return out
		}
	}
	return append(out, v)
}
