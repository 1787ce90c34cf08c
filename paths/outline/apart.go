package outline

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// Boundaries that run beside one another, as the stripes of a flag and the rings of a
// target do, share a cell until it is as narrow as the distance between them. They need
// not be parted by cells: measured across the direction they run in, each lies in an
// interval of its own. Pieces whose intervals overlap, directly or by way of others, are a band.

// way is what intervals are measured in: how far points lie in a direction, or, where arcs
// run beside one another, how far they are from the centre of one.
type way struct {
	round  bool
	across paths.Point // the unit vector of the direction
	centre paths.Point
}

// wayAcross returns the way across the direction in which the longest of some pieces runs
// in a cell, or round the centre of that piece.
// In any cell, the points that lie between two values of a way are one area without holes:
// a cell is convex, and where the centre of a way is neither above, nor below, nor beside
// the cell, circles round it pass through the cell at most once.
func (p *plane) wayAcross(box paths.Rect, pieces []piece) way {
	longest, most := 0, -1.
	for i, s := range pieces {
		if l := s.box.Width()*s.box.Width() + s.box.Height()*s.box.Height(); l > most {
			longest, most = i, l
		}
	}
	s := &p.parts[pieces[longest].part]
	if c, ok := s.c.(paths.Arc); ok && isCatercorner(box.Grow(reach*p.tol), c.Centre) {
		return way{round: true, centre: c.Centre}
	}
	a, b := p.corners(&pieces[longest])
	return way{across: b.Sub(a).Unit().Left()}
}

// isCatercorner reports whether a point lies neither above, nor below, nor beside a box,
// nor in it.
func isCatercorner(box paths.Rect, q paths.Point) bool {
	return (q.X < box.Min.X || q.X > box.Max.X) && (q.Y < box.Min.Y || q.Y > box.Max.Y)
}

// of returns the value of the way at a point.
func (w *way) of(q paths.Point) float64 {
	if w.round {
		return q.Dist(w.centre)
	}
	return q.Dot(w.across)
}

// corners returns the ends of a piece, in the order of x. It rises or falls all along, so they
// are corners of its box.
func (p *plane) corners(s *piece) (a, b paths.Point) {
	if p.parts[s.part].falls {
		return paths.Point{X: s.box.Min.X, Y: s.box.Max.Y}, paths.Point{X: s.box.Max.X, Y: s.box.Min.Y}
	}
	return s.box.Min, s.box.Max
}

// extent returns bounds of the values that a way has on a piece.
func (p *plane) extent(w *way, s *piece) (low, high float64) {
	a, b := p.corners(s)
	c := &p.parts[s.part]
	low, high = w.of(a), w.of(b)
	if low > high {
		low, high = high, low
	}
	if w.round {
		if arc, ok := c.c.(paths.Arc); ok && arc.Centre.Dist(w.centre) <= p.tol {
			return low, high
		}
		chord := b.Sub(a)
		if at := w.centre.Sub(a).Dot(chord); 0 < at && at < chord.Dot(chord) {
			low = math.Abs(w.centre.Sub(a).Cross(chord.Unit()))
		}
	}
	bulge := c.bend * (s.t1 - s.t0) * (s.t1 - s.t0) / 8
	return low - bulge, high + bulge
}

// bendOf returns a bound of the second derivative of a curve: a piece of it between two
// parameters that are d apart is no farther from its chord than an eighth of that times d
// squared.
func bendOf(c paths.Curve) float64 {
	switch c := c.(type) {
	case paths.Line:
		return 0
	case paths.Arc:
		return max(c.From.Dist(c.Centre), c.To.Dist(c.Centre)) * c.Sweep * c.Sweep
	case paths.Cubic:
		return 6 * max(c.A.Add(c.C).Sub(c.B.Mul(2)).Len(), c.B.Add(c.D).Sub(c.C.Mul(2)).Len())
	}
	return math.Inf(1)
}

// interval is where a piece lies on a way: no farther than from low to high.
type interval struct {
	low, high float64
	piece     int32 // its number in the list
}

// apart is by how much an interval is widened at each end, in units of [Options].Near, so
// that what is looked at beside an edge ([aside]) lies in the band of its piece.
const apart = reach / 4

// intervals returns where some pieces lie on a way, in ascending order of their low ends.
func (p *plane) intervals(w *way, pieces []piece) []interval {
	p.budget -= len(pieces)
	out := make([]interval, len(pieces))
	for i := range pieces {
		low, high := p.extent(w, &pieces[i])
		out[i] = interval{low - apart*p.tol, high + apart*p.tol, int32(i)}
	}
	slices.SortFunc(out, func(a, b interval) int { return cmp.Or(cmp.Compare(a.low, b.low), cmp.Compare(a.piece, b.piece)) })
	return out
}

// eachBand calls f with the intervals of each band, in ascending order, until it returns
// false, and reports whether it never did.
func eachBand(list []interval, f func(band []interval, low, high float64) bool) bool {
	for from, to := 0, 0; from < len(list); from = to {
		low, high := list[from].low, list[from].high
		for to++; to < len(list) && list[to].low <= high; to++ {
			high = max(high, list[to].high)
		}
		if !f(list[from:to], low, high) {
			return false
		}
	}
	return true
}

// areApart reports whether pieces in a cell lie beside one another: in bands of which none
// has more parts than most.
func (p *plane) areApart(box paths.Rect, pieces []piece, most int) bool {
	w := p.wayAcross(box, pieces)
	return eachBand(p.intervals(&w, pieces), func(band []interval, _, _ float64) bool {
		if len(band) <= most {
			return true
		}
		t := p.newTally()
		for _, v := range band {
			t.add(pieces[v.piece].part)
		}
		return t.parts() <= most
	})
}

// pairsIn appends the pairs of parts that may meet in a cell.
func (p *plane) pairsIn(c *cell, out []uint64) []uint64 {
	pieces := c.pieces
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
	w := p.wayAcross(c.box, pieces)
	list := p.intervals(&w, pieces)
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
