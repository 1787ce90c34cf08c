package inspect

import (
	"math"
	"slices"

	"weftplot/paths"
)

const (
	// crooked is how far from parallel lines that run close together may be.
	crooked = 15 * math.Pi / 180
	// sectors is into how many sectors directions fall, each as wide as that. The middle of
	// the first is along x, so that lines of a lattice lie in the middle of theirs.
	sectors = 12
)

// sectorOf returns the sector of the direction of a line.
func sectorOf(u paths.Point) int {
	angle := math.Atan2(u.Y, u.X)
	return (int(math.Floor(angle/crooked+0.5)) + 2*sectors) % sectors
}

// columns hold the segments of a sector and of those beside it, which are all that run along
// one of the sector. The plane is divided into columns across the middle direction of the
// sector, and in each the segments that come into it are ordered by how far up they lie
// there. So what is nearest to a segment is found without looking at what is farther off,
// however much that is; and no cell is looked at in which there is nothing.
//
// The columns of one sector are made after those of another, in the same memory.
type columns struct {
	axis, up    paths.Point
	left, width float64
	grow        float64 // how far beyond a column what lies beside it there may be
	count       int     // of columns

	bottom, step float64 // how far up the lowest lies, and what heights are told in

	ids     []int32   // the segments, ascending
	first   []int32   // by place among those: where its entries begin in places; one more at the end
	begin   []int32   // by place among those: its first column
	places  []int32   // of the entries of each segment, by column
	entries []entry   // by column, upwards, as they are gone through
	tallest []float64 // by column: the greatest half of its entries

	fill         []int32  // by column: where its entries begin, once they are made; two more at the end
	made         []made   // by segment: scratch
	keys, sorted []uint64 // by column: the height of an entry, and its number among those made: scratch
}

// entry is a segment in a column, and within grow of it.
type entry struct {
	segment      int32
	above, below int32   // the next entries up and down that are still there; -1 for none
	height       uint32  // of its middle above the bottom, in steps
	half         float32 // of how far up it reaches, and no less for heights being told in steps
}

// made is an entry before it has its place.
type made struct {
	segment int32
	half    float32
}

// set makes the columns for some segments, given in ascending order, of which those within
// reach of each other are looked for. There are not many more entries than segments, or than
// a fixed number.
func (c *columns) set(f *drawing, sector int, ids []int32, width float64) {
	sin, cos := math.Sincos(float64(sector) * crooked)
	c.axis, c.up, c.ids, c.count = paths.Point{X: cos, Y: sin}, paths.Point{X: -sin, Y: cos}, ids, 0
	c.grow = f.reach()*math.Sin(1.5*crooked)*(1+1e-9) + 1e-9
	low, high, top := math.Inf(1), math.Inf(-1), math.Inf(-1)
	c.bottom = math.Inf(1)
	for _, i := range ids {
		l := c.lie(&f.segs[i])
		low, high = min(low, l.x0), max(high, l.x1)
		c.bottom, top = min(c.bottom, l.y0, l.y1), max(top, l.y0, l.y1)
	}
	c.step = max((top-c.bottom)/math.MaxUint32, 1e-12)
	c.left = low - c.grow
	span := high - low + 2*c.grow
	c.width = max(width, span/float64(8*len(ids)+1000))
	if len(ids) > 0 {
		c.count = int(span/c.width) + 1
	}
	c.enter(f)
	c.link()
}

// middle returns how far up the middle of an entry lies.
func (c *columns) middle(e *entry) float64 { return c.bottom + float64(e.height)*c.step }

// at returns the column that a place along the axis lies in.
func (c *columns) at(x float64) int32 {
	return int32(min(float64(c.count-1), max(0, (x-c.left)/c.width)))
}

// bounds returns between which places along the axis a column lies. The outer ones have no
// outer bound.
func (c *columns) bounds(k int32) (lo, hi float64) {
	lo, hi = c.left+float64(k)*c.width, c.left+float64(k+1)*c.width
	if k == 0 {
		lo = math.Inf(-1)
	}
	if int(k) == c.count-1 {
		hi = math.Inf(1)
	}
	return lo, hi
}

// enter makes the entries.
func (c *columns) enter(f *drawing) {
	c.first, c.begin = c.first[:0], c.begin[:0]
	c.tallest, c.fill = zeros(c.tallest, c.count), zeros(c.fill, c.count+2)
	n := int32(0)
	for _, i := range c.ids {
		l := c.lie(&f.segs[i])
		from, to := c.at(l.x0-c.grow), c.at(l.x1+c.grow)
		c.first, c.begin = append(c.first, n), append(c.begin, from)
		n += to - from + 1
		for k := from; k <= to; k++ {
			c.fill[k+2]++
		}
	}
	c.first = append(c.first, n)
	for k := range c.count {
		c.fill[k+2] += c.fill[k+1]
	}
	c.made, c.keys = resized(c.made, int(n)), resized(c.keys, int(n))
	for n, i := range c.ids {
		l, column := c.lie(&f.segs[i]), c.begin[n]
		for e := c.first[n]; e < c.first[n+1]; e++ {
			lo, hi := c.bounds(column)
			low, high := l.between(lo-c.grow, hi+c.grow)
			height := uint32(min(math.MaxUint32, max(0, ((low+high)/2-c.bottom)/c.step)))
			half := math.Nextafter32(float32((high-low)/2+2*c.step), math.MaxFloat32)
			c.made[e] = made{i, half}
			c.tallest[column] = max(c.tallest[column], float64(half))
			c.keys[c.fill[column+1]] = uint64(height)<<32 | uint64(e)
			c.fill[column+1]++
			column++
		}
	}
}

// resized returns a list of n values, whatever they are, in the memory of another if that
// has room.
func resized[T any](list []T, n int) []T { return slices.Grow(list[:0], n)[:n] }

// zeros returns a list of n zeros, in the memory of another if that has room.
func zeros[T any](list []T, n int) []T {
	list = resized(list, n)
	clear(list)
	return list
}

// link orders the entries of each column by height, those as high by their numbers.
func (c *columns) link() {
	c.places, c.entries = resized(c.places, len(c.made)), resized(c.entries, len(c.made))
	for k := range c.count {
		begin := c.fill[k]
		list := c.keys[begin:c.fill[k+1]]
		c.sorted = sortByHeight(list, c.sorted)
		for n, key := range list {
			at, m := begin+int32(n), c.made[uint32(key)]
			c.places[uint32(key)] = at
			c.entries[at] = entry{m.segment, -1, -1, uint32(key >> 32), m.half}
			if n > 0 {
				c.entries[at].below, c.entries[at-1].above = at-1, at
			}
		}
	}
}

// sortByHeight sorts keys, of which those with the same upper half are in order. Many are
// sorted by the digits of that, the last first, as in heaps most are equal; the other list is
// scratch, and is returned.
func sortByHeight(keys, scratch []uint64) []uint64 {
	const bits, digits, many = 11, 3, 400
	if len(keys) < many {
		slices.Sort(keys)
		return scratch
	}
	var count [digits][1 << bits]int32
	for _, k := range keys {
		for d := range digits {
			count[d][k>>(32+bits*d)&(1<<bits-1)]++
		}
	}
	scratch = resized(scratch, len(keys))
	from, to := keys, scratch
	for d := range digits {
		place, shift := &count[d], 32+bits*d
		if place[from[0]>>shift&(1<<bits-1)] == int32(len(keys)) {
			continue // all have this digit
		}
		at := int32(0)
		for v, n := range place {
			place[v] = at
			at += n
		}
		for _, k := range from {
			v := k >> shift & (1<<bits - 1)
			to[place[v]] = k
			place[v]++
		}
		from, to = to, from
	}
	if &from[0] != &keys[0] {
		copy(keys, from)
	}
	return scratch
}

// remove takes the segment in place n of those that are held out.
func (c *columns) remove(n int) {
	for _, at := range c.places[c.first[n]:c.first[n+1]] {
		e := &c.entries[at]
		if e.above >= 0 {
			c.entries[e.above].below = e.below
		}
		if e.below >= 0 {
			c.entries[e.below].above = e.above
		}
	}
}

// lie is how a segment lies in columns: from x0 to x1 along the axis, and from y0 to y1 up.
type lie struct{ x0, x1, y0, y1 float64 }

func (c *columns) lie(s *segment) lie {
	l := lie{s.a.Dot(c.axis), s.b.Dot(c.axis), s.a.Dot(c.up), s.b.Dot(c.up)}
	if l.x0 > l.x1 {
		l = lie{l.x1, l.x0, l.y1, l.y0}
	}
	return l
}

// between returns how far up the segment reaches between two places along the axis.
func (l lie) between(lo, hi float64) (low, high float64) {
	a, b := l.y0, l.y1
	if d := l.x1 - l.x0; d > 0 {
		slope := (l.y1 - l.y0) / d
		if lo > l.x0 {
			a = l.y0 + (min(lo, l.x1)-l.x0)*slope
		}
		if hi < l.x1 {
			b = l.y0 + (max(hi, l.x0)-l.x0)*slope
		}
	}
	return min(a, b), max(a, b)
}

// A walk goes from a segment of the sector to those beside it in one column, the nearest
// first as far as can be told from their middles.
type walk struct {
	c         *columns
	low, high float64 // how far up the segment reaches in the column
	up, down  int32   // the next entries
	tallest   float64

	first, end int32 // between which the entries of the column lie
}

// walkFrom returns the walk from a segment, which is in place n of those that are held, in a
// column, and the part of the segment in that, from one distance along it to another.
func (c *columns) walkFrom(s *segment, l lie, n int, column int32) (w walk, from, to float64) {
	lo, hi := c.bounds(column)
	e := c.places[c.first[n]+column-c.begin[n]]
	w = walk{c: c, up: c.entries[e].above, down: c.entries[e].below, tallest: c.tallest[column]}
	w.first, w.end = c.fill[column], c.fill[column+1]
	w.low, w.high = l.between(lo, hi)
	along, start := s.u.Dot(c.axis), s.a.Dot(c.axis)
	if from, to = (lo-start)/along, (hi-start)/along; from > to {
		from, to = to, from
	}
	return w, max(0, from), min(s.length, to)
}

// next returns the next entry of the walk, no nearer than which are all that are left, and
// nil at the end.
func (w *walk) next() (e *entry, least float64) {
	if w.up < 0 && w.down < 0 {
		return nil, math.Inf(1)
	}
	toUp, toDown := math.Inf(1), math.Inf(1)
	if w.up >= 0 {
		toUp = w.c.middle(&w.c.entries[w.up]) - w.high
	}
	if w.down >= 0 {
		toDown = w.low - w.c.middle(&w.c.entries[w.down])
	}
	if toUp <= toDown {
		e = &w.c.entries[w.up]
		w.up = e.above
	} else {
		e = &w.c.entries[w.down]
		w.down = e.below
	}
	return e, min(toUp, toDown) - w.tallest
}

// isFewer reports, from two entries, whether there are sure to be fewer than n left within a
// distance. It may be so all the same where it is not sure: entries that are no longer there
// count here.
func (w *walk) isFewer(n int32, within float64) bool {
	half := (n - 1) / 2
	up, down := w.up+half, w.down-half
	isUp := w.up < 0 || up >= w.end || w.c.middle(&w.c.entries[up])-w.high-w.tallest > within
	return isUp && (w.down < 0 || down < w.first || w.low-w.c.middle(&w.c.entries[down])-w.tallest > within)
}

// gap returns a distance that no point of an entry comes nearer than.
func (w *walk) gap(e *entry) float64 {
	middle := w.c.middle(e)
	return max(middle-w.high, w.low-middle) - float64(e.half)
}
