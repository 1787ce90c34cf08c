package outline

import (
	"slices"

	"weftplot/paths"
)

// leafAt returns the cell that q lies in and that is not divided.
func (p *plane) leafAt(q paths.Point) *cell {
	c := &p.cells[0]
	for c.quarters > 0 {
		c = &p.cells[c.quarters+quarterOf(c.box, q)]
	}
	return c
}

// quarterOf returns the number of the quarter of a box that q is in or nearest to.
func quarterOf(box paths.Rect, q paths.Point) (k int32) {
	middle := box.Centre()
	if q.X >= middle.X {
		k = 1
	}
	if q.Y >= middle.Y {
		k += 2
	}
	return k
}

// isHidden reports whether the boundary of one of two winders, which meet at q, is out of
// sight there and all round: beyond the limit of what is seen of it, or under a fill.
func (p *plane) isHidden(q paths.Point, a, b int) bool {
	spot := paths.Rect{Min: q, Max: q}.Grow(reach * p.tol / 4)
	if !p.winders[a].limit.Overlaps(spot) || !p.winders[b].limit.Overlaps(spot) {
		return true
	}
	lower, leaf := min(p.winders[a].rank, p.winders[b].rank), p.leafAt(q)
	switch {
	case leaf.cover > lower || p.isOut(leaf, a) || p.isOut(leaf, b):
		return true
	case p.isSwept(leaf):
		return p.sweepOf(leaf).hides(p, q, lower)
	case len(leaf.pieces) > 8*crowded: // so many lie along one another; a look at all costs too much
		return false
	}
	return p.isUnder(leaf, q, spot, lower, a, b)
}

// isUnder reports whether a fill in a cell, higher than one, hides what lies under it at q
// and in a spot round it. The winders a and b do not count.
func (p *plane) isUnder(leaf *cell, q paths.Point, spot paths.Rect, lower int32, a, b int) bool {
	p.asked++
	for pieces := leaf.pieces; len(pieces) > 0 && p.rank(pieces[0]) > lower; {
		fill := p.rank(pieces[0])
		n := p.countOf(fill, pieces)
		plain := p.through[fill] == nil && !p.fills[fill].Sheer && int(fill) != a && int(fill) != b
		if plain && !p.anyComesInto(spot, pieces[:n]) && p.isInside(int(fill), q) {
			return true
		}
		pieces = pieces[n:]
	}
	return false
}

// isOut reports whether a winder is a fill of which nothing is seen in a cell for what its
// window shows there.
func (p *plane) isOut(c *cell, winder int) bool {
	if winder >= len(p.fills) {
		return false
	}
	return c.isShut(p.through[winder], int32(winder)) || p.isWindowedOut(c, int32(winder))
}

// anyComesInto reports whether any of some pieces comes into a box, or perhaps does.
func (p *plane) anyComesInto(box paths.Rect, pieces []piece) bool {
	return slices.ContainsFunc(pieces, func(s piece) bool { return p.comesInto(box, s, 0) })
}

func (p *plane) comesInto(box paths.Rect, s piece, halvings int) bool {
	p.budget--
	switch {
	case !s.box.Overlaps(box):
		return false
	case halvings == 5: // near enough: at worst a hidden place is kept
		return true
	}
	a, b := p.halves(s)
	return p.comesInto(box, a, halvings+1) || p.comesInto(box, b, halvings+1)
}

// candidates returns the fills that may be seen within reach of q, from the top down.
func (p *plane) candidates(q paths.Point) []int32 {
	list := p.around[:0]
	for c := &p.cells[0]; ; c = &p.cells[c.quarters+quarterOf(c.box, q)] {
		p.budget -= 1 + len(c.across)
		list = append(list, c.across...)
		list = p.appendFills(list, c, q)
		if c.cover >= 0 {
			list = append(list, c.cover)
		}
		if c.quarters == 0 {
			break
		}
	}
	slices.SortFunc(list, func(a, b int32) int { return int(b - a) })
	p.around = slices.Compact(list)
	return p.around
}

// appendFills appends the fills that may be seen within reach of q of those whose
// boundaries come into a cell, which q lies in.
func (p *plane) appendFills(list []int32, c *cell, q paths.Point) []int32 {
	if p.isSwept(c) {
		return p.sweepOf(c).appendFills(p, list, q)
	}
	p.budget -= len(c.pieces)
	for _, s := range c.pieces {
		if w := int32(p.winderOf(s.part)); int(w) < len(p.fills) && (len(list) == 0 || list[len(list)-1] != w) {
			list = append(list, w)
		}
	}
	return list
}

// pairs returns the parts that may meet, as the numbers of the one that is cut in the
// upper half and of the other in the lower, in order and each once.
func (p *plane) pairs() []uint64 {
	var out []uint64
	for i := range p.cells {
		if out = p.pairsIn(&p.cells[i], out); p.budget < 0 {
			return nil
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func (p *plane) pairOf(i, j int32) uint64 {
	drawn := func(k int32) bool { return p.boundaries[p.parts[k].boundary].drawn }
	if !drawn(i) || drawn(j) && j < i {
		i, j = j, i
	}
	return uint64(i)<<32 | uint64(j)
}
