package near

import (
	"math"

	"weftplot/paths"
)

const (
	// crowdedCell is how many curves a cell may hold before it is divided.
	crowdedCell = 24
	// vainDivisions is how many divisions in a row may leave nearly all curves in
	// one quarter before no more are made: the curves meet or lie on one another.
	vainDivisions = 4
)

// A dividedCell is a cell of a grid, or a quarter of another, with the curves
// that come within reach of it.
type dividedCell struct {
	items    []int32 // ascending
	vain     int     // how many divisions above it were in vain
	quarters [4]*dividedCell
}

// at returns the curves of the least quarter round p; box is that of d.
func (d *dividedCell) at(x *Curves, p paths.Point, box paths.Rect) []int32 {
	for len(d.items) > crowdedCell && d.vain < vainDivisions && box.Width() > 4*x.reach {
		middle, k := box.Centre(), 0
		if p.X >= middle.X {
			box.Min.X, k = middle.X, 1
		} else {
			box.Max.X = middle.X
		}
		if p.Y >= middle.Y {
			box.Min.Y, k = middle.Y, k+2
		} else {
			box.Max.Y = middle.Y
		}
		if d.quarters[k] == nil {
			d.quarters[k] = d.quarter(x, box)
		}
		d = d.quarters[k]
	}
	return d.items
}

// quarter returns the part of d that is box.
func (d *dividedCell) quarter(x *Curves, box paths.Rect) *dividedCell {
	q := &dividedCell{}
	// Rounding must not keep a curve out that is just within reach.
	grown := box.Grow(x.reach*(1+1e-6) + 1e-9)
	last := int32(-1)
	for _, i := range d.items {
		x.looks++
		if i != last && x.boxes[i].Overlaps(box) && comesInto(x.curve(int(i)), grown) {
			q.items = append(q.items, i)
		}
		last = i
	}
	if 4*len(q.items) > 3*len(d.items) {
		q.vain = d.vain + 1
	}
	return q
}

// comesInto reports whether a curve comes into box, or perhaps nearly does.
func comesInto(c paths.Curve, box paths.Rect) bool {
	if l, ok := c.(paths.Line); ok {
		return cutsBox(l, box)
	}
	if a, ok := c.(paths.Arc); ok && !circleCuts(a, box) {
		return false
	}
	b := c.Bounds()
	switch {
	case !b.Overlaps(box):
		return false
	case b.Width() <= box.Width() && b.Height() <= box.Height():
		return true
	}
	return comesInto(paths.Sub(c, 0, 0.5), box) || comesInto(paths.Sub(c, 0.5, 1), box)
}

// circleCuts reports whether the circle of an arc comes into box, or perhaps nearly does.
func circleCuts(a paths.Arc, box paths.Rect) bool {
	if math.Abs(a.Sweep) <= math.Pi/2 {
		return true // its centre may be too far off to be exact
	}
	from, to := a.From.Dist(a.Centre), a.To.Dist(a.Centre)
	slack := 1e-9*from + math.Abs(from-to)
	dx := max(box.Min.X-a.Centre.X, a.Centre.X-box.Max.X, 0)
	dy := max(box.Min.Y-a.Centre.Y, a.Centre.Y-box.Max.Y, 0)
	farX := max(a.Centre.X-box.Min.X, box.Max.X-a.Centre.X)
	farY := max(a.Centre.Y-box.Min.Y, box.Max.Y-a.Centre.Y)
	return math.Hypot(dx, dy) <= from+slack && math.Hypot(farX, farY) >= from-slack
}

// cutsBox reports whether some of a line lies in box (Liang and Barsky 1984).
func cutsBox(l paths.Line, box paths.Rect) bool {
	lo, hi := 0., 1.
	for _, side := range [2][4]float64{
		{l.A.X, l.B.X, box.Min.X, box.Max.X},
		{l.A.Y, l.B.Y, box.Min.Y, box.Max.Y},
	} {
		from, by := side[0], side[1]-side[0]
		if by == 0 {
			if from < side[2] || from > side[3] {
				return false
			}
			continue
		}
		a, b := (side[2]-from)/by, (side[3]-from)/by
		lo, hi = max(lo, min(a, b)), min(hi, max(a, b))
	}
	return lo <= hi
}
