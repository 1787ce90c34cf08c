package join

import (
	"cmp"
	"math"
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
	parts   []part
	lines   []int32 // ascending; the index knows them by their places here
	line    []int32 // by part: its place among the lines
	index   *near.Curves
	twins   *twins
	reach   float64
	side    float64 // of a cell of the index
	fans    map[near.Place]*fan
	gone    []bool   // by part, once it is known
	left    [][]part // by part, once it is known: what is not taken away of it
	found   []int    // the answer to the last query
	numbers []int32  // scratch
	looks   int      // at rays
}

func newCrowds(parts []part, gone []bool, left [][]part, reach float64) *crowds {
	c := &crowds{parts: parts, gone: gone, left: left, line: make([]int32, len(parts)), reach: reach, fans: map[near.Place]*fan{}}
	for i, p := range parts {
		if _, ok := p.Curve.(paths.Line); ok {
			c.line[i] = int32(len(c.lines))
			c.lines = append(c.lines, int32(i))
		}
	}
	c.index = near.NewCurves(len(c.lines), func(i int) paths.Curve { return parts[c.lines[i]].Curve }, reach)
	c.index.Restrict(func(i int) bool { return len(c.left[c.lines[i]]) > 0 })
	c.side = c.index.Side()
	c.twins = newTwins(parts, reach)
	return c
}

// near reports whether a line that is not gone comes as near a point as one must that lies on
// another which ends there, and a little more.
func (c *crowds) near(part int, p paths.Point) bool {
	reach := 1.5 * c.reach
	return !c.gone[part] && c.parts[part].Curve.(paths.Line).DistSq(p) <= reach*reach
}

// A fan holds the lines that pass one place as rays that leave it both ways, by how far
// they go: those that may take something away from the line that is looked at. Without those of
// which nothing is left, they are few however many lines are heaped up.
type fan struct {
	at    paths.Point   // the place, to half a cell
	shown int           // how many of the lines there were looked at
	sizes []int         // the powers of two that rays reach, in mm, ascending
	rays  map[int]*rays // by size
}

// rays are the rays of one size.
type rays struct {
	sorted []ray // ascending by angle
	recent []ray // not yet put among them, in no order
}

type ray struct {
	angle float64
	part  int
}

// mostRecent is how many rays wait to be put among the others.
const mostRecent = 128

func (r *rays) add(a ray) {
	if r.recent = append(r.recent, a); len(r.recent) < mostRecent {
		return
	}
	r.sorted = append(r.sorted, r.recent...)
	r.recent = r.recent[:0]
	slices.SortFunc(r.sorted, func(a, b ray) int { return cmp.Or(cmp.Compare(a.angle, b.angle), a.part-b.part) })
}

// within calls f with the rays from an angle to another.
func (r *rays) within(from, to float64, f func(ray)) {
	at, _ := slices.BinarySearchFunc(r.sorted, from, func(r ray, a float64) int { return cmp.Compare(r.angle, a) })
	for ; at < len(r.sorted) && r.sorted[at].angle <= to; at++ {
		f(r.sorted[at])
	}
	for _, a := range r.recent {
		if a.angle >= from && a.angle <= to {
			f(a)
		}
	}
}

// counted returns how many looks at parts the queries so far took, in looks at
// curves.
func (c *crowds) counted() int { return (c.looks + c.twins.looks + c.index.Looks()) / boxLooks }

// at returns the parts that part i may lie on from its start on, or from its end
// on backwards, in ascending order: those before it that are not gone, and where very many
// are near only those of which something is left. On some of them it does not lie.
func (c *crowds) at(i int, end bool) []int {
	c.found = c.found[:0]
	l, ok := c.parts[i].Curve.(paths.Line)
	switch {
	case !ok && end: // found from the start
		return nil
	case !ok:
		c.found = c.twins.of(c.found, i, c.left)
		return c.found
	case end:
		l = paths.Line{A: l.B, B: l.A}
	}
	c.index.UpTo(int(c.line[i]))
	list, place := c.index.Place(l.A, nil)
	if len(list) < crowded || place == (near.Place{}) {
		c.index.Near(l.A, func(j int) bool {
			if part := int(c.lines[j]); part < i && c.near(part, l.A) {
				c.found = append(c.found, part)
			}
			return true
		})
		return c.found
	}
	f := c.fans[place]
	if f == nil {
		f = &fan{at: l.A, rays: map[int]*rays{}}
		c.fans[place] = f
	}
	f.show(list, c)
	f.along(l, c)
	slices.Sort(c.found)
	c.found = slices.Compact(c.found)
	return c.found
}

// known returns those of the parts that part i may lie on, from its start or its end on,
// that come before done and that [crowds.at] will tell of: in any case where something is left
// of them, perhaps where nothing is. It changes nothing: what is looked up does not divide the
// index.
func (c *crowds) known(i, done int, end bool) []int {
	c.found = c.found[:0]
	l, ok := c.parts[i].Curve.(paths.Line)
	switch {
	case !ok && end:
		return nil
	case !ok:
		looks := c.twins.looks
		c.found = c.twins.of(c.found, i, c.left)
		c.twins.looks = looks
		return c.found
	case end:
		l = paths.Line{A: l.B, B: l.A}
	}
	angle, length := l.B.Sub(l.A).Angle(), l.Length()
	c.numbers = c.index.AppendKnown(c.numbers[:0], l.A)
	for _, n := range c.numbers {
		j := int(c.lines[n])
		if j >= done {
			break
		}
		m := c.parts[j].Curve.(paths.Line)
		if !c.index.MayReach(int(n), l.A) || c.gone[j] || m.DistSq(l.A) > c.reach*c.reach {
			continue // farther off it is not sure to be found
		}
		turn := math.Abs(math.Remainder(m.B.Sub(m.A).Angle()-angle, math.Pi))
		if turn <= math.Atan(c.slope(min(length, m.Length()))) {
			c.found = append(c.found, j)
		}
	}
	c.found = slices.Compact(c.found)
	return c.found
}

// slope returns by how much two lines may part that lie on one another, where both go on for
// a length, but for where in a cell they begin.
func (c *crowds) slope(length float64) float64 {
	slope := slack + 1e-9/max(c.reach/2, 1e-9)
	if both := length - 4*(c.side+c.reach); both > 0 {
		slope = min(slope, 4*c.reach/both)
	}
	return slope
}

// show adds the rays of those of the lines of its place that are new.
func (f *fan) show(list []int32, c *crowds) {
	for ; f.shown < len(list); f.shown++ {
		j := int(c.lines[list[f.shown]])
		l := c.parts[j].Curve.(paths.Line)
		for _, to := range []paths.Line{l, {A: l.B, B: l.A}} {
			k := int(math.Ceil(math.Log2(max(to.B.Dist(f.at), c.side))))
			if f.rays[k] == nil {
				f.rays[k] = &rays{}
				f.sizes = append(f.sizes, k)
				slices.Sort(f.sizes)
			}
			f.rays[k].add(ray{to.B.Sub(to.A).Angle(), j})
		}
	}
}

// along finds the lines that run so nearly as l from its start that they may lie
// on it. Those that go on far must keep to its direction the better for it.
func (f *fan) along(l paths.Line, c *crowds) {
	angle, length := l.B.Sub(l.A).Angle(), l.Length()
	for _, k := range f.sizes {
		width := math.Atan(c.slope(min(length, math.Ldexp(1, k-1)))) + 1e-9
		for _, turn := range []float64{-2 * math.Pi, 0, 2 * math.Pi} {
			f.rays[k].within(angle+turn-width, angle+turn+width, func(r ray) {
				c.looks++
				if c.near(r.part, l.A) {
					c.found = append(c.found, r.part)
				}
			})
		}
	}
}
