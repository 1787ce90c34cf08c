package outline

import (
	"math"

	"weftplot/paths"
)

// findCarriers gives each part the number of the line or circle that it lies on. A few
// parts of one line may get different numbers, for rounding: that costs time and no more.
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

// tally counts parts. Those that lie along another, on one line or circle, count little, as
// no division parts them.
type tally struct {
	p               *plane
	distinct, along int
	last            int32
}

func (p *plane) newTally() tally {
	p.counts++
	return tally{p: p, last: -1}
}

// add counts a part, once if it is the one that was counted last.
func (t *tally) add(part int32) {
	if part == t.last {
		return
	}
	t.last = part
	if at := &t.p.counted[t.p.carriers[part]]; *at == t.p.counts {
		t.along++
	} else {
		*at = t.p.counts
		t.distinct++
	}
}

// parts returns how many were counted.
func (t *tally) parts() int { return t.distinct + t.along/alongCount }

// countParts returns how many parts there are pieces of.
func (p *plane) countParts(pieces []piece) int {
	p.budget -= len(pieces) / 8
	t := p.newTally()
	for _, s := range pieces {
		t.add(s.part)
	}
	return t.parts()
}
