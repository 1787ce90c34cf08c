package join

import (
	"cmp"
	"math"
	mathbits "math/bits"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// crowded is the number of parts near one point from which lines are looked up
// by their direction: where many lines meet, few lie on one another.
const crowded = 64

// crowds finds the parts that may lie on a part from one of its ends on. Only parts of
// one kind can: lines are sought by their places and directions, arcs by their circles,
// cubics by their control points.
type crowds struct {
	parts []part
	lines []int32 // ascending; the index knows them by their places here
	line  []int32 // by part: its place among the lines
	index *near.Curves
	twins *twins
	reach float64
	side  float64         // of a cell of the index
	fans  map[*int32]*fan // by the first of the lines near a place
	gone  []bool          // by part, once it is known
	found []int           // the answer to the last query
	looks int             // at rays
}

func newCrowds(parts []part, gone []bool, reach float64) *crowds {
	c := &crowds{parts: parts, gone: gone, line: make([]int32, len(parts)), reach: reach, fans: map[*int32]*fan{}}
	for i, p := range parts {
		if _, ok := p.Curve.(paths.Line); ok {
			c.line[i] = int32(len(c.lines))
			c.lines = append(c.lines, int32(i))
		}
	}
	c.index = near.NewCurves(len(c.lines), func(i int) paths.Curve { return parts[c.lines[i]].Curve }, reach)
	c.side = c.index.Side()
	c.twins = newTwins(parts, reach)
	return c
}

// A fan holds the lines that pass one place as rays that leave it both ways, by how far
// they go.
type fan struct {
	list  []int32 // the lines, ascending
	sizes []int   // the powers of two that rays reach, in mm, ascending
	rays  map[int]*rays
	shown int // how many of the list were looked at
}

// rays are the rays of one size, of which those are shown that may take something away.
type rays struct {
	all   []ray // ascending by angle
	shown bits
	place map[int][2]int // by part, of its rays, -1 for none
}

type ray struct {
	angle float64
	part  int
}

// bits is a set of numbers in which the next one is found without a look at each between.
type bits struct{ words, some []uint64 }

func newBits(n int) bits {
	return bits{make([]uint64, n/64+1), make([]uint64, n/64/64+1)}
}

func (b bits) add(i int) {
	b.words[i/64] |= 1 << (i % 64)
	b.some[i/64/64] |= 1 << (i / 64 % 64)
}

// next returns the least number of the set from i on, or n where there is none below n.
func (b bits) next(i, n int) int {
	if i >= n {
		return n
	}
	if w := b.words[i/64] >> (i % 64); w != 0 {
		return min(n, i+mathbits.TrailingZeros64(w))
	}
	at := i/64 + 1
	for at < len(b.words) {
		if s := b.some[at/64] >> (at % 64); s != 0 {
			at += mathbits.TrailingZeros64(s)
			return min(n, at*64+mathbits.TrailingZeros64(b.words[at]))
		}
		at = (at/64 + 1) * 64
	}
	return n
}

// counted returns how many looks at parts the queries so far took, in looks at
// curves.
func (c *crowds) counted() int { return (c.looks + c.twins.looks + c.index.Looks()) / boxLooks }

// at returns the parts that may lie on part i from its start on, or from its end
// on backwards, in ascending order: those before it that are not gone, and where few are
// near all. Some of them do not lie on it.
func (c *crowds) at(i int, end bool) []int {
	c.found = c.found[:0]
	l, ok := c.parts[i].Curve.(paths.Line)
	switch {
	case !ok && end: // found from the start
		return nil
	case !ok:
		c.found = c.twins.of(c.found, i)
		return c.found
	case end:
		l = paths.Line{A: l.B, B: l.A}
	}
	list := c.index.Cell(l.A)
	if len(list) < crowded {
		c.index.Near(l.A, func(j int) bool { c.found = append(c.found, int(c.lines[j])); return true })
		return c.found
	}
	f := c.fans[&list[0]]
	if f == nil {
		f = c.newFan(list, l.A)
		c.fans[&list[0]] = f
	}
	f.showUpTo(i, c)
	f.along(l, c)
	slices.Sort(c.found)
	c.found = slices.Compact(c.found)
	return c.found
}

func (c *crowds) newFan(list []int32, p paths.Point) *fan {
	f := &fan{list: slices.Compact(slices.Clone(list)), rays: map[int]*rays{}}
	for _, n := range f.list {
		j := int(c.lines[n])
		l := c.parts[j].Curve.(paths.Line)
		for _, to := range []paths.Line{l, {A: l.B, B: l.A}} {
			k := int(math.Ceil(math.Log2(max(to.B.Dist(p), c.side))))
			if f.rays[k] == nil {
				f.rays[k] = &rays{place: map[int][2]int{}}
				f.sizes = append(f.sizes, k)
			}
			f.rays[k].all = append(f.rays[k].all, ray{to.B.Sub(to.A).Angle(), j})
		}
	}
	for _, r := range f.rays {
		r.sort()
	}
	slices.Sort(f.sizes)
	return f
}

func (r *rays) sort() {
	slices.SortFunc(r.all, func(a, b ray) int { return cmp.Or(cmp.Compare(a.angle, b.angle), a.part-b.part) })
	r.shown = newBits(len(r.all))
	for k, a := range r.all {
		if at, ok := r.place[a.part]; ok {
			r.place[a.part] = [2]int{at[0], k}
		} else {
			r.place[a.part] = [2]int{k, -1}
		}
	}
}

// showUpTo shows the rays of the lines before part i that are not gone.
func (f *fan) showUpTo(i int, c *crowds) {
	for ; f.shown < len(f.list) && int(c.lines[f.list[f.shown]]) < i; f.shown++ {
		j := int(c.lines[f.list[f.shown]])
		if c.gone[j] {
			continue
		}
		for _, r := range f.rays {
			if at, ok := r.place[j]; ok {
				r.shown.add(at[0])
				if at[1] >= 0 {
					r.shown.add(at[1])
				}
			}
		}
	}
}

// along finds the lines that run so nearly as l from its start that they may lie
// on it. Those that go on far must keep to its direction the better for it.
func (f *fan) along(l paths.Line, c *crowds) {
	angle, length := l.B.Sub(l.A).Angle(), l.Length()
	for _, k := range f.sizes {
		slope := slack + 1e-9/max(c.reach/2, 1e-9)
		// Both go on for at least so far, but for where in the cell they begin.
		if both := min(length, math.Ldexp(1, k-1)) - 4*(c.side+c.reach); both > 0 {
			slope = min(slope, 4*c.reach/both)
		}
		rays, width := f.rays[k], math.Atan(slope)+1e-9
		for _, turn := range []float64{-2 * math.Pi, 0, 2 * math.Pi} {
			find := func(a float64) int {
				at, _ := slices.BinarySearchFunc(rays.all, a, func(r ray, a float64) int { return cmp.Compare(r.angle, a) })
				return at
			}
			from, to := find(angle+turn-width), find(math.Nextafter(angle+turn+width, math.Inf(1)))
			for k := rays.shown.next(from, to); k < to; k = rays.shown.next(k+1, to) {
				c.looks++
				if r := rays.all[k]; c.index.MayReach(int(c.line[r.part]), l.A) {
					c.found = append(c.found, r.part)
				}
			}
		}
	}
}
