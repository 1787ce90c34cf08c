package timeline

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
)

// Route follows a machine along a program by the places that it reports. It
// keeps the earliest place of the program where the machine can be, so that
// where a program crosses itself the machine is never taken to be farther on
// than it is.
type Route struct {
	Blocks   []program.Block
	Timeline Timeline // of these blocks
	// Block is the first block that may be under way. The machine is at least
	// Along mm along it.
	Block int
	Along float64

	least []float64 // see soonest
}

// Tolerance is how far from the program's path a report of a moving machine may
// lie, mm: reports are rounded, to steps of the motors too, and arcs are carried
// out as chords.
const Tolerance = 0.05

// Arrive records that everything before offset is done, and nothing after it
// begun.
func (r *Route) Arrive(offset int) {
	r.Along = 0
	for r.Block < len(r.Blocks) && r.Timeline.Moments[r.Block+1].End <= offset {
		r.Block++
	}
}

// Find looks for a place on the route, in blocks written before offset for
// which fits returns true, and no earlier than the last place. It returns the
// block and the least distance along it, mm, and false if the route does not
// pass there.
func (r *Route) Find(at paths.Point, offset int, fits func(block int, at paths.Point, along float64) bool) (block int, along float64, ok bool) {
	from := r.Along - Tolerance // the last report was rounded as well
	for i := r.Block; i < len(r.Blocks) && r.Timeline.Moments[i+1].End <= offset; i++ {
		if c := r.Blocks[i].Curve; c != nil {
			if s, ok := reach(c, at, from); ok && fits(i, at, s) {
				if i == r.Block {
					s = max(s, r.Along)
				}
				return i, s, true
			}
		}
		from = 0
	}
	return 0, 0, false
}

// Between reports whether a place found along a block is at neither end of a
// series of moves; at the ends the pen may be going up or down.
func (r *Route) Between(block int, at paths.Point, along float64) bool {
	c := r.Blocks[block].Curve
	begins := block == 0 || r.Blocks[block-1].Curve == nil
	ends := block+1 == len(r.Blocks) || r.Blocks[block+1].Curve == nil
	return !(begins && (along == 0 || at.Dist(c.Start()) <= Tolerance)) && !(ends && at.Dist(c.End()) <= Tolerance)
}

// reach returns how far along c the first place within Tolerance of p is, mm
// and no less than from, and false if there is none.
func reach(c paths.Curve, p paths.Point, from float64) (float64, bool) {
	if !c.Bounds().Grow(Tolerance).Contains(p) {
		return 0, false
	}
	pts := paths.Stroke{c}.Flatten(Tolerance / 8)
	start := 0.0
	for k := 1; k < len(pts); k++ {
		l := paths.Line{A: pts[k-1], B: pts[k]}
		n := l.Length()
		if start+n >= from {
			if s, ok := enters(l, p, from-start); ok {
				return start + s, true
			}
		}
		start += n
	}
	return 0, false
}

// enters returns how far along the line it first comes within Tolerance of p,
// mm and no less than from.
func enters(l paths.Line, p paths.Point, from float64) (float64, bool) {
	n := l.Length()
	if n == 0 {
		return 0, p.Dist(l.A) <= Tolerance
	}
	u := l.B.Sub(l.A).Mul(1 / n)
	d := p.Sub(l.A)
	across, s := d.Cross(u), d.Dot(u)
	half := Tolerance*Tolerance - across*across
	if half < 0 {
		return 0, false
	}
	half = math.Sqrt(half)
	first := max(0, from, s-half)
	return first, first <= min(n, s+half)
}
