package web

import "math"

// A Cone is where a line lies as seen from a point on it: how far it reaches to each side
// along an axis, in mm, and between which slopes, mm across the axis for each along it. It
// passes the point at most Off mm across the axis from it.
type Cone struct {
	Len, Lo, Hi [2]float64
	Off         float64
}

// EmptyCone is the cone of no line.
func EmptyCone() Cone {
	return Cone{Lo: [2]float64{math.Inf(1), math.Inf(1)}, Hi: [2]float64{math.Inf(-1), math.Inf(-1)}}
}

// Add takes in a place of the line, so far along the axis from the point and so far across.
func (c *Cone) Add(along, across float64) {
	const atPoint = 2 * Joint
	if math.Abs(along) <= atPoint {
		c.Off = max(c.Off, math.Abs(across))
		return
	}
	side := 0
	if along < 0 {
		side = 1
	}
	slope := across / math.Abs(along)
	c.Len[side] = max(c.Len[side], math.Abs(along))
	c.Lo[side], c.Hi[side] = min(c.Lo[side], slope), max(c.Hi[side], slope)
}

// union returns a cone that holds both.
func (c Cone) union(d Cone) Cone {
	for side := range 2 {
		c.Len[side] = max(c.Len[side], d.Len[side])
		c.Lo[side], c.Hi[side] = min(c.Lo[side], d.Lo[side]), max(c.Hi[side], d.Hi[side])
	}
	c.Off = max(c.Off, d.Off)
	return c
}

// mayPart reports whether lines of two cones may come to lie more than apart mm from each
// other, across the axis, where both reach. It says so of some that do not.
func (c Cone) mayPart(d Cone, apart float64) bool {
	for side := range 2 {
		reach := min(c.Len[side], d.Len[side])
		if !(reach > 0) {
			continue
		}
		steepest := max(math.Abs(c.Lo[side]), math.Abs(c.Hi[side]), math.Abs(d.Lo[side]), math.Abs(d.Hi[side]))
		slack := c.Off + d.Off + 8*Joint*(1+steepest)
		turn := max(c.Hi[side]-d.Lo[side], d.Hi[side]-c.Lo[side])
		if !(reach*turn+slack <= apart) {
			return true
		}
	}
	return false
}

// A Fan finds, among lines through one point, those that part from a given one, without
// looking at all.
type Fan struct {
	size  int    // a power of two, no less than the lines
	cones []Cone // a tree: those of 2k and 2k+1 make k, and the lines stand from size on
	looks int
}

// NewFan returns the fan of the lines of some cones, which all are of one point.
func NewFan(cones []Cone) *Fan {
	f := &Fan{size: 1}
	for f.size < len(cones) {
		f.size *= 2
	}
	f.cones = make([]Cone, 2*f.size)
	for k := range f.size {
		f.cones[f.size+k] = EmptyCone()
	}
	copy(f.cones[f.size:], cones)
	for k := f.size - 1; k > 0; k-- {
		f.cones[k] = f.cones[2*k].union(f.cones[2*k+1])
	}
	return f
}

// Next returns the first line, from one on by number, that may come to lie more than apart
// mm from the line of a cone, or -1. Lines that are gone are left out, from then on.
func (f *Fan) Next(from int, c Cone, apart float64, gone func(line int) bool) int {
	return f.next(1, 0, f.size, fanQuery{from, c, apart, gone})
}

type fanQuery struct {
	from  int
	cone  Cone
	apart float64
	gone  func(int) bool
}

// next searches the lines from lo to hi, which are below node k.
func (f *Fan) next(k, lo, hi int, q fanQuery) int {
	f.looks++
	if hi <= q.from || !f.cones[k].mayPart(q.cone, q.apart) {
		return -1
	}
	if hi-lo == 1 {
		if !q.gone(lo) {
			return lo
		}
		f.cones[k] = EmptyCone()
		return -1
	}
	mid := (lo + hi) / 2
	if found := f.next(2*k, lo, mid, q); found >= 0 {
		return found
	}
	if found := f.next(2*k+1, mid, hi, q); found >= 0 {
		return found
	}
	f.cones[k] = f.cones[2*k].union(f.cones[2*k+1])
	return -1
}
