package rings

import (
	"math"

	"weftplot/paths"
)

// Area is what rings go round an odd number of times, for asking again and again whether
// points lie there. The sides of each ring lie in slabs of its height, so that a question
// costs a look at a few of them.
type Area struct{ parts []part }

// part is a ring in slabs.
type part struct {
	ring   []paths.Point
	box    paths.Rect
	height float64 // of a slab, mm
	start  []int32 // by slab, and one more: where its sides start
	sides  []int32 // each by the number of its first point
}

// fewSides is about how many sides of a ring are in one slab, and mostEntered how many times
// as many as there are sides may be entered in slabs.
const fewSides, mostEntered = 4, 8

// Add adds a ring.
func (a *Area) Add(ring []paths.Point) {
	p := part{ring: ring, box: paths.RectOf(ring...)}
	slabs := max(1, len(ring)/fewSides)
	for slabs > 1 && p.entries(slabs) > mostEntered*len(ring) {
		slabs /= 2
	}
	p.height = p.box.Height() / float64(slabs)
	p.start = make([]int32, slabs+1)
	p.each(func(slab, _ int) { p.start[slab+1]++ })
	for k := range slabs {
		p.start[k+1] += p.start[k]
	}
	p.sides = make([]int32, p.start[slabs])
	next := append([]int32(nil), p.start...)
	p.each(func(slab, side int) {
		p.sides[next[slab]] = int32(side)
		next[slab]++
	})
	a.parts = append(a.parts, p)
}

// entries returns how many sides would be entered in so many slabs, about.
func (p *part) entries(slabs int) int {
	rise := 0.
	for i, a := range p.ring {
		rise += math.Abs(p.ring[(i+1)%len(p.ring)].Y - a.Y)
	}
	if rise == 0 {
		return len(p.ring)
	}
	return len(p.ring) + int(rise/p.box.Height()*float64(slabs))
}

// each calls f with the slabs that the sides come into.
func (p *part) each(f func(slab, side int)) {
	for i, a := range p.ring {
		b := p.ring[(i+1)%len(p.ring)]
		for k := p.slab(min(a.Y, b.Y)); k <= p.slab(max(a.Y, b.Y)); k++ {
			f(k, i)
		}
	}
}

// slab returns the slab of a height, which rises with it.
func (p *part) slab(y float64) int {
	if !(p.height > 0) {
		return 0
	}
	return int(min(float64(len(p.start)-2), max(0, (y-p.box.Min.Y)/p.height)))
}

// Inside reports whether p lies in the area.
func (a *Area) Inside(p paths.Point) bool {
	in := false
	for i := range a.parts {
		r := &a.parts[i]
		if p.Y < r.box.Min.Y || p.Y > r.box.Max.Y || p.X > r.box.Max.X {
			continue
		}
		k := r.slab(p.Y)
		for _, side := range r.sides[r.start[k]:r.start[k+1]] {
			if passesRight(r.ring[side], r.ring[(int(side)+1)%len(r.ring)], p) {
				in = !in
			}
		}
	}
	return in
}

// passesRight reports whether a side passes to the right of p at its height.
func passesRight(a, b, p paths.Point) bool {
	return (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y)
}
