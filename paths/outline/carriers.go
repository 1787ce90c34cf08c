package outline

import (
	"math"

	"weftplot/paths"
)

// findCarriers gives the parts numbers of the curves that carry them. It is enough that
// most that lie along one another get the same.
func (p *plane) findCarriers() {
	number := map[[5]float64]int32{}
	p.carriers = make([]int32, len(p.parts))
	for i := range p.parts {
		key := carrier(p.parts[i].c)
		n, ok := number[key]
		if !ok {
			n = int32(len(number))
			number[key] = n
		}
		p.carriers[i] = n
	}
	p.counted = make([]int, len(number))
}

// carrier returns what tells the line or circle that a curve is part of: the direction
// and the distance from the origin, or the centre, the radius and the quadrant. Cubics are
// told by their ends.
func carrier(c paths.Curve) [5]float64 {
	a, b := c.Start(), c.End()
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		a, b = b, a
	}
	round := func(v float64) float64 { return math.Round(v*1e6) / 1e6 }
	switch c := c.(type) {
	case paths.Line:
		u := b.Sub(a).Unit()
		return [5]float64{1, round(u.X), round(u.Y), round(a.Cross(u))}
	case paths.Arc:
		quadrant := 0. // a part of a circle lies in one
		if a.X+b.X > 2*c.Centre.X {
			quadrant++
		}
		if a.Y+b.Y > 2*c.Centre.Y {
			quadrant += 2
		}
		return [5]float64{2 + quadrant, round(c.Centre.X), round(c.Centre.Y), round(c.Radius())}
	}
	return [5]float64{6, round(a.X), round(a.Y), round(b.X), round(b.Y)}
}

// countParts returns how many parts there are pieces of. Those that lie along another, on
// one line or circle, count little, as no division parts them.
func (p *plane) countParts(pieces []piece) int {
	p.counts++
	p.budget -= len(pieces) / 8
	distinct, along, last := 0, 0, int32(-1)
	for _, s := range pieces {
		if s.part == last {
			continue
		}
		last = s.part
		if at := &p.counted[p.carriers[s.part]]; *at == p.counts {
			along++
		} else {
			*at = p.counts
			distinct++
		}
	}
	return distinct + along/alongCount
}
