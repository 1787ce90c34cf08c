package outline

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// Boundaries that run beside one another, as the rings of a target do, come into one cell
// until it is as narrow as the distance between them. They need not be parted by cells:
// across the way they run, each lies in an interval of its own.

// manyApart is how many parts a cell holds before it is quartered when they lie in
// intervals of their own.
const manyApart = 256

// interval is where a piece lies across a direction: no farther than from low to high.
type interval struct {
	low, high float64
	piece     int32 // its number in the list
}

// intervals returns where pieces lie across the way that most of them run, in ascending
// order of their low ends. It holds for any pieces; those that run another way have wide
// intervals.
func (p *plane) intervals(pieces []piece) []interval {
	p.budget -= len(pieces)
	var across paths.Point
	longest := 0.
	for _, s := range pieces {
		c := p.parts[s.part].c
		if d := c.At(s.t1).Sub(c.At(s.t0)); d.Len() > longest {
			longest, across = d.Len(), d.Unit().Left()
		}
	}
	out := make([]interval, len(pieces))
	for i, s := range pieces {
		low, high := extent(p.parts[s.part].c, s.t0, s.t1, across)
		out[i] = interval{low - 2*p.tol, high + 2*p.tol, int32(i)}
	}
	slices.SortFunc(out, func(a, b interval) int { return cmp.Or(cmp.Compare(a.low, b.low), cmp.Compare(a.piece, b.piece)) })
	return out
}

// extent returns bounds of how far the part of a curve between two of its parameters lies
// in a direction. The curve is a part: an arc of it turns by a quarter at most.
func extent(c paths.Curve, t0, t1 float64, way paths.Point) (low, high float64) {
	a, b := c.At(t0), c.At(t1)
	low, high = min(a.Dot(way), b.Dot(way)), max(a.Dot(way), b.Dot(way))
	switch c := c.(type) {
	case paths.Line:
	case paths.Arc:
		r := max(c.From.Dist(c.Centre), c.To.Dist(c.Centre))
		half := min(r, a.Dist(b)/2)
		bulge := r - math.Sqrt(r*r-half*half)
		low, high = low-bulge, high+bulge
	case paths.Cubic:
		sub, ok := paths.Sub(c, t0, t1).(paths.Cubic)
		if !ok {
			return math.Inf(-1), math.Inf(1)
		}
		low = min(low, sub.B.Dot(way), sub.C.Dot(way))
		high = max(high, sub.B.Dot(way), sub.C.Dot(way))
	default:
		return math.Inf(-1), math.Inf(1)
	}
	return low, high
}

// areApart reports whether no piece can meet another, as each lies in an interval of its
// own across the way that they run; those along one line or circle share one, as no
// division would part them.
func (p *plane) areApart(pieces []piece) bool {
	list := p.intervals(pieces)
	high, carrier := math.Inf(-1), int32(-1)
	for _, v := range list {
		own := p.carriers[pieces[v.piece].part]
		if v.low <= high && own != carrier {
			return false
		}
		high, carrier = max(high, v.high), own
	}
	return true
}

// pairsIn appends the pairs of parts that may meet in a cell.
func (p *plane) pairsIn(pieces []piece, out []uint64) []uint64 {
	add := func(a, b *piece) {
		if a.part == b.part || !b.box.Overlaps(a.box.Grow(2*p.tol)) {
			return
		}
		if p.boundaries[p.parts[a.part].boundary].drawn || p.boundaries[p.parts[b.part].boundary].drawn {
			out = append(out, p.pairOf(a.part, b.part))
		}
	}
	if len(pieces) <= crowded {
		for k := range pieces {
			p.budget -= len(pieces) - k
			for j := k + 1; j < len(pieces); j++ {
				add(&pieces[k], &pieces[j])
			}
		}
		return out
	}
	list := p.intervals(pieces)
	for k, v := range list {
		for _, w := range list[k+1:] {
			if p.budget--; w.low > v.high || p.budget < 0 {
				break
			}
			add(&pieces[v.piece], &pieces[w.piece])
		}
	}
	return out
}
