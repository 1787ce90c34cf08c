package outline

import (
	"cmp"
	"container/heap"
	"math"
	"slices"
	"sort"

	"weftplot/paths"
)

// Of the fills whose boundaries come into a cell side by side, a point of it may lie in
// nearly all. Which of them are seen is not asked anew for each point: the bands of the
// cell are swept in their order, and the fills that lie over the whole of a band are kept
// as a set, to which a fill is added where its boundary is passed inwards and from which it
// is taken where that is passed outwards.

// sweep tells what may be seen in a cell, by its bands.
type sweep struct {
	way   way
	bands []band
	own   []int32 // the fills whose pieces make a band, one band after the other
	over  []int32 // the fills that lie over all of a band, one band after the other
}

// band is a number of pieces whose intervals overlap, or follow one another. Over it lie the
// fills, but for its own, that would be seen there without those: from the top down to the
// first that hides what lies under it.
type band struct {
	low, high        float64
	ownFrom, ownTo   int
	overFrom, overTo int
}

// isSwept reports whether what is seen in a cell is found by a sweep: not where there are
// few pieces, nor where the edge of a window comes in, beyond which a fill is not seen.
func (p *plane) isSwept(c *cell) bool {
	return len(c.pieces) > 2*crowded && !c.windowed && p.crowded == crowded
}

// sweepOf returns the sweep of a cell.
func (p *plane) sweepOf(c *cell) *sweep {
	if c.sweep == nil {
		w := p.wayAcross(c.box, c.pieces)
		c.sweep = &sweep{way: w}
		c.sweep.listBands(p, c.pieces)
		c.sweep.run(p, c.box.Grow(reach*p.tol))
	}
	return c.sweep
}

// listBands lists the bands of some pieces, with their own fills.
func (s *sweep) listBands(p *plane, pieces []piece) {
	eachBand(p.intervals(&s.way, pieces), func(list []interval, low, high float64) bool {
		from := len(s.own)
		for _, v := range list {
			s.own = append(s.own, int32(p.winderOf(pieces[v.piece].part)))
		}
		slices.Sort(s.own[from:])
		s.own = s.own[:from+len(slices.Compact(s.own[from:]))]
		s.bands = append(s.bands, band{low: low, high: high, ownFrom: from, ownTo: len(s.own)})
		return true
	})
}

// run goes over the bands and lists what lies over each.
func (s *sweep) run(p *plane, box paths.Rect) {
	d := s.way.diagonal(box)
	until := make([]float64, len(s.own)) // where the next band begins that a fill has pieces in
	first := map[int32]float64{}
	for _, b := range slices.Backward(s.bands) {
		for k := b.ownFrom; k < b.ownTo; k++ {
			until[k] = math.Inf(1)
			if next, ok := first[s.own[k]]; ok {
				until[k] = next
			}
			first[s.own[k]] = b.low
		}
	}
	set := fillSet{p: p, in: map[int32]bool{}}
	lies := func(fill int32, low, high float64) bool { // whether it lies over all that is between
		low, high = max(low, d.low), min(high, d.high)
		if !(low < high) {
			return false // none of that is in the cell
		}
		p.asked++
		return p.isInside(int(fill), d.at((low+high)/2))
	}
	for _, fill := range s.own {
		if low, ok := first[fill]; ok && lies(fill, math.Inf(-1), low) {
			set.add(fill)
		}
		delete(first, fill)
	}
	for i := range s.bands {
		b := &s.bands[i]
		for _, fill := range s.own[b.ownFrom:b.ownTo] {
			set.remove(fill)
		}
		b.overFrom = len(s.over)
		s.over = set.appendSeen(s.over)
		b.overTo = len(s.over)
		p.budget -= 1 + b.overTo - b.overFrom
		for k := b.ownFrom; k < b.ownTo; k++ {
			if lies(s.own[k], b.high, until[k]) {
				set.add(s.own[k])
			}
		}
	}
}

// diagonal is the line between the corners of a box at which a way has its least and its
// greatest value there. Along it the values rise.
type diagonal struct {
	way       way
	a, b      paths.Point
	low, high float64
}

func (w *way) diagonal(box paths.Rect) diagonal {
	d := diagonal{way: *w, low: math.Inf(1)}
	for k := range 4 {
		a, b := box.Min, box.Max
		if k&1 != 0 {
			a.X, b.X = b.X, a.X
		}
		if k&2 != 0 {
			a.Y, b.Y = b.Y, a.Y
		}
		if v := w.of(a); v < d.low {
			d.a, d.b, d.low, d.high = a, b, v, w.of(b)
		}
	}
	return d
}

// at returns the point at which the way has a value between the least and the greatest.
func (d *diagonal) at(v float64) paths.Point {
	if !d.way.round {
		return d.a.Lerp(d.b, (v-d.low)/(d.high-d.low))
	}
	// |from + t along| = v, from the centre.
	from, along := d.a.Sub(d.way.centre), d.b.Sub(d.a)
	half, square := from.Dot(along), along.Dot(along)
	t := (math.Sqrt(max(0, half*half+square*(v*v-from.Dot(from)))) - half) / square
	return d.a.Lerp(d.b, min(1, max(0, t)))
}

// bandAt returns the band that a point lies in, or the last before it.
func (s *sweep) bandAt(q paths.Point) *band {
	v := s.way.of(q)
	return &s.bands[max(0, sort.Search(len(s.bands), func(i int) bool { return s.bands[i].low > v })-1)]
}

// appendFills appends the fills that may be seen within reach of q. Between two bands no
// others are seen than in the one before.
func (s *sweep) appendFills(p *plane, list []int32, q paths.Point) []int32 {
	b := s.bandAt(q)
	p.budget -= 1 + b.ownTo - b.ownFrom + b.overTo - b.overFrom
	return append(append(list, s.own[b.ownFrom:b.ownTo]...), s.over[b.overFrom:b.overTo]...)
}

// hides reports whether a fill higher than one hides all that lies under it at q and all
// round.
func (s *sweep) hides(p *plane, q paths.Point, lower int32) bool {
	b := s.bandAt(q)
	p.budget--
	if v := s.way.of(q); v > b.high || v < b.low || b.overFrom == b.overTo {
		return false
	}
	last := s.over[b.overTo-1]
	return last > lower && !p.fills[last].Sheer
}

// fillSet is a set of fills that tells which are seen.
type fillSet struct {
	p      *plane
	in     map[int32]bool
	sheer  []int32   // ascending
	opaque fillsDown // some may have been removed
}

func (s *fillSet) add(fill int32) {
	s.in[fill] = true
	if !s.p.fills[fill].Sheer {
		heap.Push(&s.opaque, fill)
	} else if at, found := slices.BinarySearch(s.sheer, fill); !found {
		s.sheer = slices.Insert(s.sheer, at, fill)
	}
}

func (s *fillSet) remove(fill int32) {
	if !s.in[fill] {
		return
	}
	delete(s.in, fill)
	if at, found := slices.BinarySearch(s.sheer, fill); found {
		s.sheer = slices.Delete(s.sheer, at, at+1)
	}
}

// appendSeen appends the fills that are seen, from the top down to the first that hides
// what lies under it.
func (s *fillSet) appendSeen(list []int32) []int32 {
	for len(s.opaque) > 0 && !s.in[s.opaque[0]] {
		heap.Pop(&s.opaque)
	}
	top := int32(-1)
	if len(s.opaque) > 0 {
		top = s.opaque[0]
	}
	for _, fill := range slices.Backward(s.sheer) {
		if fill < top {
			break
		}
		list = append(list, fill)
	}
	if top >= 0 {
		list = append(list, top)
	}
	return list
}

// fillsDown is a heap of fills, the highest first, for [container/heap].
type fillsDown []int32

func (h fillsDown) Len() int           { return len(h) }
func (h fillsDown) Less(i, j int) bool { return cmp.Less(h[j], h[i]) }
func (h fillsDown) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }

// Push is called by [heap.Push].
func (h *fillsDown) Push(fill any) { *h = append(*h, fill.(int32)) }

// Pop is called by [heap.Pop].
func (h *fillsDown) Pop() any {
	last := (*h)[len(*h)-1]
	*h = (*h)[:len(*h)-1]
	return last
}
