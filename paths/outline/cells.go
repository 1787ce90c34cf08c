package outline

import (
	"slices"

	"weftplot/paths"
)

// Where many fills lie over one another, most boundaries are hidden, and far more of the
// places where boundaries meet are hidden than seen. So the plane is divided into square
// cells. A cell that many parts of boundaries come into is quartered, and so are its
// quarters. The fills are laid into the cells from the top down. A fill that covers a whole cell closes
// it: lower fills are not laid there at all. Parts are crossed only with those that come
// into a cell with them, and what is seen at a point is decided by the fills of its cell.

// cell is a square of the plane.
type cell struct {
	box      paths.Rect
	quarters int32   // the first of its four; 0 for a cell that is not divided
	cover    int32   // the fill that hides all lower ones in all of it; -1 for none
	closed   bool    // lower fills are hidden in all of it
	windowed bool    // the edge of a window comes into it
	most     int     // how many parts it holds before it is quartered
	recount  int     // how many pieces it holds before its parts are counted again
	vain     int     // divisions above it that parted hardly any parts
	pieces   []piece // of the parts that come into it, the highest fills first
	across   []int32 // the fills that may be seen in it, whose own boundaries do not come into it
	shut     []shut
	sweep    *sweep // made when it is first asked for
}

// shut is a window through which nothing lower than a fill is seen in a cell: that fill,
// which is seen through it, lies over all of the cell.
type shut struct {
	window *window
	fill   int32
}

// piece is the piece of a part between two of its parameters. It is no larger than the
// cell that it is in.
type piece struct {
	part   int32
	t0, t1 float64
	box    paths.Rect
}

const (
	// crowded is how many parts a cell holds before it is quartered.
	crowded = 4
	// Where parts meet or lie along one another, quartering may leave nearly all of them in
	// one quarter. After vainDivisions such divisions in a row a cell is quartered again
	// only when it holds moreInVain times as many parts.
	vainDivisions = 3
	moreInVain    = 3
	// manyWindowed is how many parts beside one another a cell may hold, undivided, when
	// the edge of a window comes into it: its fills are looked at one by one.
	manyWindowed = 256
	// alongCount is how many parts that lie along another count as one.
	alongCount = 8
	// reach is how far beyond a cell a part still counts as coming into it, in units of
	// [Options].Near. It is much more than the distance at which an edge is judged, and
	// than that between places that are one node.
	reach = 64
	// quarterCost is what quartering a cell counts, in looks.
	quarterCost = 40
	// leastCell is the least side of a cell, in units of its reach.
	leastCell = 16
)

// lay divides the plane and lays all fills into it, from the top down.
func (p *plane) lay() {
	box := paths.EmptyRect()
	for i := range p.winders {
		box = box.Union(p.winders[i].box)
	}
	if box.IsEmpty() {
		return
	}
	side := paths.Point{X: max(box.Width(), box.Height()), Y: max(box.Width(), box.Height())}
	p.cells = []cell{{box: paths.RectOf(box.Min, box.Min.Add(side)).Grow(2 * reach * p.tol), cover: -1, most: p.crowded}}
	p.findCarriers()
	regions := p.rankRegions()
	var pieces []piece
	for fill := len(p.fills) - 1; fill >= 0 && p.budget >= 0; fill-- {
		p.tell(0, laid, 1-float64(fill+1)/float64(len(p.fills)))
		if p.through[fill] == nil && p.isCopy(fill) {
			continue
		}
		l := layer{fill: int32(fill), limit: p.measure(fill), windowed: len(regions[fill]) > 0}
		pieces = p.appendPieces(pieces[:0], fill)
		for _, r := range regions[fill] {
			pieces = p.appendPieces(pieces, r)
			l.limit = l.limit.Union(p.winders[r].box)
		}
		if len(pieces) > 0 {
			p.layInto(0, l, pieces)
		}
	}
}

// rankRegions gives each region the rank of the highest fill that is seen through it, and
// returns the regions by that fill.
func (p *plane) rankRegions() map[int][]int {
	done := map[*window]bool{}
	for fill := len(p.fills) - 1; fill >= 0; fill-- {
		w := p.through[fill]
		if w == nil || done[w] {
			continue
		}
		done[w] = true
		p.budget -= len(w.has)
		for r := range w.has {
			p.winders[r].rank = max(p.winders[r].rank, int32(fill))
		}
	}
	out := map[int][]int{}
	for r := len(p.fills); r < len(p.winders); r++ {
		out[int(p.winders[r].rank)] = append(out[int(p.winders[r].rank)], r)
	}
	return out
}

func (p *plane) appendPieces(list []piece, winder int) []piece {
	w := &p.winders[winder]
	for i := w.from; i < w.to; i++ {
		for k := p.boundaries[i].from; k < p.boundaries[i].to; k++ {
			list = append(list, piece{int32(k), 0, 1, p.parts[k].box})
		}
	}
	return list
}

// layer is a fill on its way into the cells, with the regions that no higher fill is seen
// through.
type layer struct {
	fill     int32
	limit    paths.Rect // nothing of it matters outside
	windowed bool       // there are such regions
}

// layInto lays a fill into a cell, with the pieces that come into it.
func (p *plane) layInto(at int32, l layer, pieces []piece) {
	c := &p.cells[at]
	if p.budget--; p.budget < 0 || !p.matters(c, l) {
		return
	}
	own := len(pieces) > 0
	if l.windowed {
		own = slices.ContainsFunc(pieces, func(s piece) bool { return p.winderOf(s.part) == int(l.fill) })
		c.windowed = c.windowed || len(pieces) > 0 && p.hasRegion(pieces)
	}
	switch {
	case len(pieces) == 0 && !(c.windowed && p.through[l.fill] != nil && c.quarters > 0):
		p.layAcross(at, l.fill)
	case c.quarters > 0:
		p.layIntoQuarters(at, l, pieces)
	case p.isOut(c, int(l.fill)) && !p.hasRegion(pieces):
		return
	default:
		c.pieces = append(c.pieces, pieces...)
		if !own {
			p.layAcross(at, l.fill)
		}
		p.divide(at)
	}
}

// matters reports whether anything of a layer may be seen in a cell that is not seen there
// without it.
func (p *plane) matters(c *cell, l layer) bool {
	return !c.closed && c.box.Grow(reach*p.tol).Overlaps(l.limit) && !p.isTinted(c, l)
}

// winderOf returns the winder that a part belongs to.
func (p *plane) winderOf(part int32) int { return p.boundaries[p.parts[part].boundary].winder }

// hasRegion reports whether any of the pieces bounds a region of a window.
func (p *plane) hasRegion(pieces []piece) bool {
	return slices.ContainsFunc(pieces, func(s piece) bool { return p.winderOf(s.part) >= len(p.fills) })
}

func (p *plane) layIntoQuarters(at int32, l layer, pieces []piece) {
	first, closed := p.cells[at].quarters, true
	p.distribute(p.cells[at].box, pieces, func(k int32, inside []piece) {
		p.layInto(first+k, l, inside)
		closed = closed && p.cells[first+k].closed
	})
	p.cells[at].closed = closed
}

// distribute calls f for each quarter of a cell with what comes into it of some pieces, in
// pieces no larger than the quarter. f may keep them only until it returns.
func (p *plane) distribute(box paths.Rect, pieces []piece, f func(k int32, inside []piece)) {
	start := len(p.scratch)
	for _, s := range pieces {
		p.appendHalves(box.Grow(reach*p.tol), box.Width()/2, s, 0)
	}
	end := len(p.scratch)
	for k := range int32(4) {
		grown := quarter(box, int(k)).Grow(reach * p.tol)
		for i := start; i < end; i++ {
			if s := p.scratch[i]; s.box.Overlaps(grown) {
				p.scratch = append(p.scratch, s)
			}
		}
		inside := p.scratch[end:]
		f(k, inside[:len(inside):len(inside)])
		p.scratch = p.scratch[:end]
	}
	p.scratch = p.scratch[:start]
}

// mostHalvings bounds how often a piece is halved: curves may be passed very unevenly.
const mostHalvings = 40

// appendHalves adds to the scratch list what comes into a box of a piece, in pieces with no
// side longer than one given.
func (p *plane) appendHalves(box paths.Rect, side float64, s piece, halvings int) {
	p.budget--
	switch {
	case !s.box.Overlaps(box):
	case halvings == mostHalvings || s.box.Width() <= side && s.box.Height() <= side:
		p.scratch = append(p.scratch, s)
	default:
		a, b := p.halves(s)
		p.appendHalves(box, side, a, halvings+1)
		p.appendHalves(box, side, b, halvings+1)
	}
}

// halves returns the halves of a piece. A part rises or falls all along, so their ends
// bound them.
func (p *plane) halves(s piece) (a, b piece) {
	c, mid := p.parts[s.part].c, (s.t0+s.t1)/2
	at := c.At(mid)
	return piece{s.part, s.t0, mid, paths.RectOf(c.At(s.t0), at)}, piece{s.part, mid, s.t1, paths.RectOf(at, c.At(s.t1))}
}

// layAcross lays a fill into a cell that its own boundaries do not come into, so that all
// of the cell is inside it or none. Where the edge of its window comes in, it may be seen
// in a part of the cell.
func (p *plane) layAcross(at, fill int32) {
	c := &p.cells[at]
	middle := c.box.Centre()
	p.asked++
	if !p.isInside(int(fill), middle) {
		return
	}
	w := p.through[fill]
	partly := p.endsIn(w, c)
	switch {
	case !partly && !p.shows(w, middle):
	case partly && !c.isShut(w, fill):
		c.across = append(c.across, fill)
		if !p.fills[fill].Sheer {
			c.shut = append(c.shut, shut{w, fill})
		}
	case partly:
	case p.fills[fill].Sheer:
		c.across = append(c.across, fill)
	default:
		p.close(at, fill)
	}
}

// endsIn reports whether an edge of a window comes into a cell that is not divided.
func (p *plane) endsIn(w *window, c *cell) bool {
	return w != nil && c.windowed && slices.ContainsFunc(c.pieces, func(s piece) bool { return w.has[p.winderOf(s.part)] })
}

// isWindowedOut reports whether the window of a fill lets nothing of it be seen in a cell
// that is not divided.
func (p *plane) isWindowedOut(c *cell, fill int32) bool {
	w := p.through[fill]
	if w == nil || p.endsIn(w, c) {
		return false
	}
	p.asked++
	return !p.shows(w, c.box.Centre())
}

// isShut reports whether a fill that is seen through a window is hidden in all of a cell by
// a higher one that is seen through the same, or through one that this lies in.
func (c *cell) isShut(w *window, fill int32) bool {
	for ; w != nil && len(c.shut) > 0; w = w.next {
		if slices.ContainsFunc(c.shut, func(s shut) bool { return s.fill > fill && s.window.of == w.of }) {
			return true
		}
	}
	return false
}

// close hides all fills lower than one in all of a cell.
func (p *plane) close(at, fill int32) {
	c := &p.cells[at]
	p.budget--
	if c.closed {
		return
	}
	c.closed = true
	if c.quarters == 0 {
		c.cover = fill
		return
	}
	for q := c.quarters; q < c.quarters+4; q++ {
		p.close(q, fill)
	}
}

// divide quarters a cell in which there are many parts, and lays what was in it into its
// quarters.
func (p *plane) divide(at int32) {
	c := p.cells[at]
	if len(c.pieces) < c.recount || c.closed || c.box.Width() < leastCell*reach*p.tol {
		return
	}
	parts := p.countParts(c.pieces)
	if parts <= c.most { // a piece more is at most a part more
		p.cells[at].recount = len(c.pieces) + max(c.most-parts+1, len(c.pieces)/8)
		return
	}
	if p.crowded == crowded && (!c.windowed || parts <= manyWindowed) && p.areApart(c.box, c.pieces, c.most) {
		p.cells[at].recount = len(c.pieces) + max(1, len(c.pieces)/8)
		return
	}
	p.budget -= quarterCost
	first := int32(len(p.cells))
	for k := range 4 {
		p.cells = append(p.cells, cell{box: quarter(c.box, k), cover: -1, most: p.crowded})
	}
	var undecided []int32 // fills that lie across it in part, for what their windows show
	settled := slices.DeleteFunc(slices.Clone(c.across), func(fill int32) bool {
		if p.through[fill] == nil {
			return false
		}
		undecided = append(undecided, fill)
		return true
	})
	mine := &p.cells[at]
	mine.quarters, mine.pieces, mine.across, mine.shut = first, nil, settled, nil
	closed := true
	p.distribute(c.box, c.pieces, func(k int32, inside []piece) {
		q := first + k
		if n := p.countParts(inside); n*8 > parts*7 {
			p.cells[q].vain = c.vain + 1
			if p.cells[q].vain >= vainDivisions {
				p.cells[q].vain, p.cells[q].most = vainDivisions-1, moreInVain*n
			}
		}
		p.layAgain(q, c.pieces, inside, undecided)
		closed = closed && p.cells[q].closed
	})
	p.cells[at].closed = closed
}

func quarter(box paths.Rect, k int) paths.Rect {
	middle := box.Centre()
	if k&1 == 0 {
		box.Max.X = middle.X
	} else {
		box.Min.X = middle.X
	}
	if k&2 == 0 {
		box.Max.Y = middle.Y
	} else {
		box.Min.Y = middle.Y
	}
	return box
}

// layAgain lays into a quarter of a cell what was in the cell, from the top down: the
// fills of some pieces, of which those inside come into the quarter, and fills of which
// none came into the cell.
func (p *plane) layAgain(q int32, pieces, inside []piece, undecided []int32) {
	for len(pieces)+len(undecided) > 0 && p.budget >= 0 && !p.cells[q].closed {
		fill := int32(-1)
		if len(pieces) > 0 {
			fill = p.rank(pieces[0])
		}
		if len(undecided) > 0 {
			fill = max(fill, undecided[0])
			if undecided[0] == fill {
				undecided = undecided[1:]
			}
		}
		pieces = pieces[p.countOf(fill, pieces):]
		n := p.countOf(fill, inside)
		p.layInto(q, layer{fill: fill, limit: p.cells[q].box, windowed: p.hasRegion(inside[:n])}, inside[:n])
		inside = inside[n:]
	}
}

// countOf returns how many of the first pieces were laid with a fill.
func (p *plane) countOf(fill int32, pieces []piece) (n int) {
	for n < len(pieces) && p.rank(pieces[n]) == fill {
		n++
	}
	return n
}

// rank returns the fill with which a piece was laid.
func (p *plane) rank(s piece) int32 { return p.winders[p.winderOf(s.part)].rank }
