package device

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
)

// way follows a machine along a program by the places that it reports. It keeps
// the earliest place of the program where the machine can be, so that a program
// that crosses itself never makes it see the machine too far on.
type way struct {
	blocks []program.Block
	course course
	block  int     // the first block that may be under way
	along  float64 // how far along it the machine is at least, mm
}

// offWay is how far from the program's way a report of a moving machine may lie,
// mm: reports are rounded, to steps of the motors too, and arcs run as chords.
const offWay = 0.05

// arrive notes that all before offset is done, and nothing after it begun.
func (w *way) arrive(offset int) {
	w.along = 0
	for w.block < len(w.blocks) && w.course.marks[w.block+1].end <= offset {
		w.block++
	}
}

// see looks for the place on the way, no earlier than before, in what is written
// before offset, and where fits allows it. It returns the block there and how far
// along it the machine is at least, and false if the way does not lead there.
func (w *way) see(at paths.Point, offset int, fits func(block int, at paths.Point, along float64) bool) (block int, along float64, ok bool) {
	from := w.along - offWay // the last report was rounded as well
	for i := w.block; i < len(w.blocks) && w.course.marks[i+1].end <= offset; i++ {
		if c := w.blocks[i].Curve; c != nil {
			if s, ok := reach(c, at, from); ok && fits(i, at, s) {
				if i == w.block {
					s = max(s, w.along)
				}
				return i, s, true
			}
		}
		from = 0
	}
	return 0, 0, false
}

// between reports whether a place found so far along a block is at neither end of
// a row of moves, where the pen may be on its way up or down.
func (w *way) between(block int, at paths.Point, along float64) bool {
	c := w.blocks[block].Curve
	begins := block == 0 || w.blocks[block-1].Curve == nil
	ends := block+1 == len(w.blocks) || w.blocks[block+1].Curve == nil
	return !(begins && (along == 0 || at.Dist(c.Start()) <= offWay)) && !(ends && at.Dist(c.End()) <= offWay)
}

// reach returns how far along c, no less than from, the first place within
// offWay of p is, mm, and false if there is none.
func reach(c paths.Curve, p paths.Point, from float64) (float64, bool) {
	if !c.Bounds().Grow(offWay).Contains(p) {
		return 0, false
	}
	pts := paths.Stroke{c}.Flatten(offWay / 8)
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

// enters returns how far along the line, no less than from, it comes within
// offWay of p.
func enters(l paths.Line, p paths.Point, from float64) (float64, bool) {
	n := l.Length()
	if n == 0 {
		return 0, p.Dist(l.A) <= offWay
	}
	u := l.B.Sub(l.A).Mul(1 / n)
	d := p.Sub(l.A)
	across, s := d.Cross(u), d.Dot(u)
	half := offWay*offWay - across*across
	if half < 0 {
		return 0, false
	}
	half = math.Sqrt(half)
	first := max(0, from, s-half)
	return first, first <= min(n, s+half)
}
