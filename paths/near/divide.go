package near

import (
	"math"
	"slices"

	"weftplot/paths"
)

const (
	// crowdedCell is how many curves a cell may hold before it is divided.
	crowdedCell = 24
	// vainDivisions is how many divisions in a row may leave nearly all curves in
	// one quarter before no more are made: the curves meet or lie on one another.
	vainDivisions = 4
	// divideAfter is how many queries come into a cell before it is divided after a division
	// in vain, and four times as many after each further one.
	divideAfter = 16
)

// A dividedCell is a cell of a grid, or a quarter of another, with the curves
// that come within reach of it.
type dividedCell struct {
	items    []int32 // ascending
	taken    int     // how many of those of the cell it is a part of were looked at for it
	asked    int     // how many queries came into it before it was divided
	quarters [4]*dividedCell
}

// at returns the least quarter round p; box is that of d.
func (d *dividedCell) at(x *Curves, p paths.Point, box paths.Rect, enough func(list []int32) bool) *dividedCell {
	for vain := 0; len(d.items) > crowdedCell && vain < vainDivisions && box.Width() > 4*x.reach; {
		if !d.isWorthIt(vain) || enough != nil && enough(d.items) {
			break
		}
		k := 0
		k, box = quarterOf(box, p)
		q := d.quarters[k]
		if q == nil {
			q = &dividedCell{}
			d.quarters[k] = q
		}
		q.take(x, d.items, box)
		if vain++; 4*len(q.items) <= 3*len(d.items) {
			vain = 0
		}
		d = q
	}
	return d
}

// appendKnown appends to a list what [dividedCell.at] would find without any more divisions;
// list is that of the cell of the grid.
func (d *dividedCell) appendKnown(to []int32, x *Curves, list []int32, p paths.Point, box paths.Rect) []int32 {
	// What is not taken by a quarter yet comes after all that is.
	var later [][]int32
	rest := list[d.taken:]
	for {
		k, quarter := quarterOf(box, p)
		q := d.quarters[k]
		if q == nil {
			break
		}
		later = append(later, d.items[q.taken:])
		d, box = q, quarter
	}
	to = append(to, d.items...)
	for _, l := range slices.Backward(later) {
		to = append(to, l...)
	}
	for _, i := range rest {
		if x.keep == nil || i < x.upTo && x.keep(int(i)) {
			to = append(to, i)
		}
	}
	return to
}

// quarterOf returns the number and the box of the quarter of a box that holds p.
func quarterOf(box paths.Rect, p paths.Point) (k int, quarter paths.Rect) {
	middle := box.Centre()
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
	return k, box
}

// isWorthIt counts a query, and reports whether so many came into a cell that dividing it
// costs no more than they did. Where curves lie on one another it hardly helps: so many
// divisions in a row were in vain.
func (d *dividedCell) isWorthIt(vain int) bool {
	if vain == 0 || d.asked >= divideAfter<<(2*(vain-1)) {
		return true
	}
	d.asked++
	return false
}

// letIn takes those from the list of a cell of the grid that are found by now.
func (d *dividedCell) letIn(x *Curves, list []int32) {
	if x.keep == nil {
		d.items, d.taken = list, len(list)
		return
	}
	for ; d.taken < len(list) && list[d.taken] < x.upTo; d.taken++ {
		x.looks++
		if i := list[d.taken]; (d.taken == 0 || i != list[d.taken-1]) && x.keep(int(i)) {
			d.items = append(d.items, i)
		}
	}
}

// take takes those of the items of the cell that d is a part of, box, which were not looked
// at yet.
func (d *dividedCell) take(x *Curves, items []int32, box paths.Rect) {
	// Rounding must not keep a curve out that is just within reach.
	grown := box.Grow(x.reach*(1+1e-6) + 1e-9)
	for ; d.taken < len(items); d.taken++ {
		x.looks++
		i := items[d.taken]
		if (d.taken == 0 || i != items[d.taken-1]) && x.boxes[i].Overlaps(box) && ComesInto(x.curve(int(i)), grown) {
			d.items = append(d.items, i)
		}
	}
}

// ComesInto reports whether a curve comes into box, or nearly does: some curves that
// pass it by within an eighth of its breadth count too.
func ComesInto(c paths.Curve, box paths.Rect) bool {
	enough := min(box.Width(), box.Height()) / 8
	switch c := c.(type) {
	case paths.Line:
		return cutsBox(c, box)
	case paths.Arc:
		return arcComesInto(c, box, enough)
	case paths.Cubic:
		return cubicComesInto(c, box, enough, deepest)
	}
	panic("near: unknown kind of curve")
}

// deepest is how often a curve is halved to find out whether it comes into a box:
// each time takes it four times as close to its chords.
const deepest = 24

// arcComesInto takes the arc as pieces of less than half a turn.
func arcComesInto(a paths.Arc, box paths.Rect, enough float64) bool {
	from, to := a.From.Dist(a.Centre), a.To.Dist(a.Centre)
	slack := math.Abs(from - to)
	if math.Abs(a.Sweep) > math.Pi/2 { // or else its centre may be too far off to be exact
		slack += 1e-9 * from
		// Most arcs pass by the box with all of their circle.
		if away := math.Abs(box.Centre().Dist(a.Centre) - from); away > box.Min.Dist(box.Max)/2+slack+1e-9 {
			return false
		}
	}
	if !a.Bounds().Overlaps(box) {
		return false
	}
	box = box.Grow(slack)
	n := int(math.Abs(a.Sweep)/2) + 1
	bulge := math.Tan(a.Sweep / float64(n) / 4)
	p := a.From
	for k := range n {
		q := a.To
		if k+1 < n {
			q = a.At(float64(k+1) / float64(n))
		}
		if bowComesInto(paths.Line{A: p, B: q}, bulge, box, enough, deepest) {
			return true
		}
		p = q
	}
	return false
}

// bowComesInto looks at an arc of less than half a turn by its chord and its bulge,
// the tangent of a quarter of its sweep. The arc is no farther from its chord than
// bulge times half of it.
func bowComesInto(chord paths.Line, bulge float64, box paths.Rect, enough float64, depth int) bool {
	half := chord.B.Sub(chord.A).Mul(0.5)
	away := math.Abs(bulge) * half.Len()
	switch {
	case !cutsBox(chord, box.Grow(away)):
		return false
	case away <= enough || depth == 0:
		return true
	}
	middle := chord.A.Add(half).Sub(half.Left().Mul(bulge))
	bulge /= 1 + math.Sqrt(1+bulge*bulge) // of half the angle
	return bowComesInto(paths.Line{A: chord.A, B: middle}, bulge, box, enough, depth-1) ||
		bowComesInto(paths.Line{A: middle, B: chord.B}, bulge, box, enough, depth-1)
}

// cubicComesInto looks at a cubic by its chord: it is no farther from that than the
// farther of its handles.
func cubicComesInto(c paths.Cubic, box paths.Rect, enough float64, depth int) bool {
	chord := paths.Line{A: c.A, B: c.D}
	_, b := chord.Nearest(c.B)
	_, d := chord.Nearest(c.C)
	away := max(b, d)
	switch {
	case !cutsBox(chord, box.Grow(away)):
		return false
	case away <= enough || depth == 0:
		return true
	}
	ab, bc, cd := c.A.Lerp(c.B, 0.5), c.B.Lerp(c.C, 0.5), c.C.Lerp(c.D, 0.5)
	abc, bcd := ab.Lerp(bc, 0.5), bc.Lerp(cd, 0.5)
	m := abc.Lerp(bcd, 0.5)
	return cubicComesInto(paths.Cubic{A: c.A, B: ab, C: abc, D: m}, box, enough, depth-1) ||
		cubicComesInto(paths.Cubic{A: m, B: bcd, C: cd, D: c.D}, box, enough, depth-1)
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
