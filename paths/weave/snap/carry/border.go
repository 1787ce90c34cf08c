package carry

import (
	"math"
	"sort"
)

// border is the guides of a border between two rows, in the order of their places.
type border struct {
	guides []*Guide
	// Where a coordinate lies among them is looked for first by bounds that hold at
	// every height: no guide up to i lies above most[i], and none from i on below least[i].
	most, least []float64
	gaps        []gap // below each guide and above the last
}

// bound notes the bounds of the places of the guides. They are a little wide, since a
// place between two knots is rounded.
func (b *border) bound() {
	const wide = 1e-9 // mm
	n := len(b.guides)
	b.most, b.least = make([]float64, n), make([]float64, n)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, g := range b.guides {
		for _, k := range g.At {
			hi = max(hi, k.Fixed+wide)
		}
		b.most[i] = hi
	}
	for i := n - 1; i >= 0; i-- {
		for _, k := range b.guides[i].At {
			lo = min(lo, k.Fixed-wide)
		}
		b.least[i] = lo
	}
}

// after returns the number of the first guide that lies above u at v.
func (b *border) after(u, v float64) int {
	i, end := 0, len(b.most) // halved by hand, as this is asked more than anything
	for i < end {
		if k := (i + end) / 2; b.most[k] > u {
			end = k
		} else {
			i = k + 1
		}
	}
	j := i
	for j < len(b.least) && j <= i+1 && b.least[j] <= u {
		j++
	}
	switch {
	case i == j:
		return i
	case i+1 < j: // several may lie on either side, and even cross
		return sort.Search(len(b.guides), func(k int) bool { return b.guides[k].fixedAt(v) > u })
	case b.guides[i].fixedAt(v) > u:
		return i
	}
	return j
}

// at evaluates the map of the border in gap j, in which u lies at v.
func (b *border) at(fade float64, j int, u, v float64) float64 {
	if len(b.guides) == 0 {
		return u
	}
	if g := &b.gaps[j]; g.level {
		return g.at(u)
	}
	var g gap
	g.make(knots{fade, b.guides, v}, j)
	return g.at(u)
}

// isLike reports that the maps of two borders are one in gap j of b and gap k of c: the four
// guides are the same that they hang on. It is so nearly everywhere, as straights are long.
func (b *border) isLike(j int, c *border, k int) bool {
	for i := -2; i < 2; i++ {
		var of, other *Guide
		if n := j + i; n >= 0 && n < len(b.guides) {
			of = b.guides[n]
		}
		if n := k + i; n >= 0 && n < len(c.guides) {
			other = c.guides[n]
		}
		if of != other {
			return false
		}
	}
	return true
}

// gap is what lies below one guide and above the one before it, at one height.
type gap struct {
	knots
	number int
	way
	p, q passing // the two points between the guides
	// level reports that the guides lie at the same places at every height, so that the
	// gap is worked out once, and slopes are those of the map at a, p, q and b.
	level  bool
	slopes [4]float64
}

const (
	atA = iota
	atP
	atQ
	atB
)

// make makes the gap what lies below guide number of the knots.
func (g *gap) make(k knots, number int) {
	g.knots, g.number = k, number
	g.way.make(&g.knots, k.pass(number-1), k.pass(number))
	g.p, g.q = g.way.at(g.way.t), g.way.at(1-g.way.t)
}

// divide works out the gaps that are the same at every height: the four guides whose
// places they hang on are level.
func (b *border) divide(fade float64) {
	n := len(b.guides)
	if n == 0 {
		return
	}
	b.gaps = make([]gap, n+1)
	for j := range b.gaps {
		level := true
		for k := max(0, j-2); k < min(n, j+2); k++ {
			level = level && b.guides[k].isLevel()
		}
		if !level {
			continue
		}
		var g gap
		g.make(knots{fade, b.guides, 0}, j)
		for where := range g.slopes {
			g.slopes[where] = g.slopeAt(where)
		}
		g.level = true
		b.gaps[j] = g
	}
}

// slopeAt returns the slope of the map at one of the four points of the gap.
func (g *gap) slopeAt(where int) float64 {
	switch {
	case g.level:
		return g.slopes[where]
	case where == atA:
		return g.knots.slopeBack(g.number-2, g.a, g.p)
	case where == atP:
		return g.way.slope(g.a, g.p, g.q)
	case where == atQ:
		return g.way.slope(g.p, g.q, g.b)
	}
	return g.knots.slope(g.q, g.b, g.number+1)
}

// at evaluates the map in the gap.
func (g *gap) at(u float64) float64 {
	first, last := g.number == 0, g.number == len(g.set)
	switch {
	case !first && u <= g.a.x:
		return g.a.y
	case !last && u >= g.b.x: // leaning lines that cross
		return max(g.a.y, min(u, g.b.y))
	case u <= g.q.x && first, u >= g.p.x && last:
		return u
	case first:
		return hermiteCubic(g.q, 1, g.b, g.slopeAt(atB), u)
	case last:
		return hermiteCubic(g.a, g.slopeAt(atA), g.p, 1, u)
	case u < g.p.x:
		return hermiteCubic(g.a, g.slopeAt(atA), g.p, g.slopeAt(atP), u)
	case u <= g.q.x:
		return hermiteCubic(g.p, g.slopeAt(atP), g.q, g.slopeAt(atQ), u)
	}
	return hermiteCubic(g.q, g.slopeAt(atQ), g.b, g.slopeAt(atB), u)
}
