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

// crowds finds the parts that may lie on a line from one of its ends on.
type crowds struct {
	parts []part
	index *near.Curves
	reach float64
	side  float64         // of a cell of the index
	fans  map[*int32]*fan // by the first of the parts near a place
	found []int           // the answer to the last query
	looks int             // at rays
}

func newCrowds(parts []part, reach float64) *crowds {
	index := near.NewCurves(len(parts), func(i int) paths.Curve { return parts[i].Curve }, reach)
	return &crowds{parts: parts, index: index, reach: reach, side: index.Side(), fans: map[*int32]*fan{}}
}

// A fan holds what passes one place: lines as rays that leave it both ways, by
// how far they go, and all else.
type fan struct {
	rays  map[int][]ray // by the power of two that they reach, in mm, ascending by angle
	sizes []int         // the keys of rays, ascending
	rest  []int
}

type ray struct {
	angle float64
	part  int
}

// counted returns how many looks at parts the queries so far took, in looks at
// curves.
func (c *crowds) counted() int { return (c.looks + c.index.Looks()) / boxLooks }

// at returns the parts that may lie on part i from its start on, or from its end
// on backwards, in ascending order. Some of them do not.
func (c *crowds) at(i int, end bool) []int {
	p := c.parts[i].Start()
	if end {
		p = c.parts[i].End()
	}
	c.found = c.found[:0]
	list := c.index.Cell(p)
	l, ok := c.parts[i].Curve.(paths.Line)
	if !ok || len(list) < crowded {
		c.index.Near(p, func(j int) bool { c.found = append(c.found, j); return true })
		return c.found
	}
	f := c.fans[&list[0]]
	if f == nil {
		f = c.newFan(list, p)
		c.fans[&list[0]] = f
	}
	if end {
		l = paths.Line{A: l.B, B: l.A}
	}
	f.along(l, c)
	slices.Sort(c.found)
	c.found = slices.Compact(c.found)
	return c.found
}

func (c *crowds) newFan(list []int32, p paths.Point) *fan {
	f := &fan{rays: map[int][]ray{}}
	for _, j := range list {
		l, ok := c.parts[j].Curve.(paths.Line)
		if !ok {
			f.rest = append(f.rest, int(j))
			continue
		}
		for _, to := range []paths.Line{l, {A: l.B, B: l.A}} {
			k := int(math.Ceil(math.Log2(max(to.B.Dist(p), c.side))))
			f.rays[k] = append(f.rays[k], ray{to.B.Sub(to.A).Angle(), int(j)})
		}
	}
	for k, rays := range f.rays {
		slices.SortFunc(rays, func(a, b ray) int { return cmp.Or(cmp.Compare(a.angle, b.angle), a.part-b.part) })
		f.sizes = append(f.sizes, k)
	}
	slices.Sort(f.sizes)
	return f
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
			from, _ := slices.BinarySearchFunc(rays, angle+turn-width, func(r ray, a float64) int { return cmp.Compare(r.angle, a) })
			for _, r := range rays[from:] {
				if r.angle > angle+turn+width {
					break
				}
				c.looks++
				if c.index.MayReach(r.part, l.A) {
					c.found = append(c.found, r.part)
				}
			}
		}
	}
}
