package web

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// Bundle is lines that run close beside each other. In its frame, along the longest of them,
// each line is two numbers: how far to the left it passes the start of the frame and how far
// its end. The lines stand in a tree over these numbers, and a point asks only for the lines
// that pass it.
type Bundle struct {
	from, unit  paths.Point
	length      float64
	right, left float64 // the bounds of all lines, mm to the left of the frame's axis
	strands     []strand
	nodes       []strandBox // those of 2k+1 and 2k+2 make k
	looks       int
}

// strand is a line in the frame of its bundle: what of the frame it spans, and where it
// passes the start and the end of the frame, all in mm.
type strand struct {
	lo, hi, start, end float64
	line               int
}

// strandBox bounds some strands.
type strandBox struct {
	lo, hi, startLo, startHi, endLo, endHi float64
}

// The bounds of what is one bundle. They are wide enough for lines within some tenths of a
// mm to be in a few bundles, and narrow enough for few points to be beside a bundle by chance.
const (
	bundleAngle = 4e-3 // radians
	bundleWide  = 0.25 // mm at the middle of the drawing
	fewStrands  = 8    // that are not divided further
)

// Bundles returns the bundles of at least so many lines, and the numbers of the lines that are
// in none, ascending.
func Bundles(lines []paths.Line, least int) (bundles []*Bundle, others []int) {
	box := paths.EmptyRect()
	for _, l := range lines {
		box = box.Union(l.Bounds())
	}
	middle := box.Min.Lerp(box.Max, 0.5)
	keys, sets, others := crowds(lines, least, func(l paths.Line, u paths.Point) lineKey {
		return lineKey{int64(math.Round(u.Angle() / bundleAngle)), int64(math.Round(u.Cross(l.A.Sub(middle)) / bundleWide))}
	})
	for _, k := range keys {
		if len(sets[k]) < least {
			others = append(others, sets[k]...)
		} else {
			bundles = append(bundles, bundleOf(lines, sets[k]))
		}
	}
	slices.Sort(others)
	return bundles, others
}

// bundleOf returns the bundle of some lines.
func bundleOf(lines []paths.Line, of []int) *Bundle {
	longest := of[0]
	for _, i := range of {
		if lines[i].Length() > lines[longest].Length() {
			longest = i
		}
	}
	b := &Bundle{from: lines[longest].A, unit: upward(lines[longest]), right: math.Inf(1), left: math.Inf(-1)}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, i := range of {
		s, _ := b.place(lines[i].A)
		t, _ := b.place(lines[i].B)
		lo, hi = min(lo, s, t), max(hi, s, t)
	}
	b.from, b.length = b.from.Add(b.unit.Mul(lo)), hi-lo
	for _, i := range of {
		s, p := b.place(lines[i].A)
		t, q := b.place(lines[i].B)
		if s > t {
			s, p, t, q = t, q, s, p
		}
		b.right, b.left = min(b.right, p, q), max(b.left, p, q)
		slope := (q - p) / (t - s)
		b.strands = append(b.strands, strand{s, t, p - s*slope, p + (b.length-s)*slope, i})
	}
	b.divide(0, 0, len(b.strands))
	return b
}

// place returns how far along the frame a point is, and how far to the left of its axis.
func (b *Bundle) place(p paths.Point) (along, left float64) {
	d := p.Sub(b.from)
	return d.Dot(b.unit), b.unit.Cross(d)
}

// divide makes node k of the strands from lo to hi, and those below it, and sorts the strands
// into them.
func (b *Bundle) divide(k, lo, hi int) {
	for len(b.nodes) <= k {
		b.nodes = append(b.nodes, strandBox{})
	}
	inf := math.Inf(1)
	box, midLo, midHi := strandBox{inf, -inf, inf, -inf, inf, -inf}, inf, -inf
	for _, s := range b.strands[lo:hi] {
		box.lo, box.hi = min(box.lo, s.lo), max(box.hi, s.hi)
		box.startLo, box.startHi = min(box.startLo, s.start), max(box.startHi, s.start)
		box.endLo, box.endHi = min(box.endLo, s.end), max(box.endHi, s.end)
		midLo, midHi = min(midLo, s.lo+s.hi), max(midHi, s.lo+s.hi)
	}
	b.nodes[k] = box
	if hi-lo <= fewStrands {
		return
	}
	// Divided where they are spread most, measured by the whole bundle.
	whole := b.nodes[0]
	starts := (box.startHi - box.startLo) / max(whole.startHi-whole.startLo, 16*Joint)
	ends := (box.endHi - box.endLo) / max(whole.endHi-whole.endLo, 16*Joint)
	middles := (midHi - midLo) / (2 * b.length)
	by := func(s strand) float64 { return s.start }
	switch {
	case middles > starts && middles > ends:
		by = func(s strand) float64 { return s.lo + s.hi }
	case ends > starts:
		by = func(s strand) float64 { return s.end }
	}
	slices.SortFunc(b.strands[lo:hi], func(s, t strand) int { return cmp.Or(cmp.Compare(by(s), by(t)), s.line-t.line) })
	mid := (lo + hi) / 2
	b.divide(2*k+1, lo, mid)
	b.divide(2*k+2, mid, hi)
}

// Passing calls f with the lines of the bundle that pass a point within [Joint] of it, and some
// that pass a little farther off.
func (b *Bundle) Passing(p paths.Point, f func(line int)) {
	along, left := b.place(p)
	if left < b.right-2*Joint || left > b.left+2*Joint {
		return
	}
	b.passing(0, 0, len(b.strands), along, left, f)
}

func (b *Bundle) passing(k, lo, hi int, along, left float64, f func(line int)) {
	b.looks++
	n := b.nodes[k]
	share := min(1, max(0, along/b.length))
	at := func(start, end float64) float64 { return (1-share)*start + share*end }
	if along < n.lo-2*Joint || along > n.hi+2*Joint || left < at(n.startLo, n.endLo)-2*Joint || left > at(n.startHi, n.endHi)+2*Joint {
		return
	}
	if hi-lo > fewStrands {
		mid := (lo + hi) / 2
		b.passing(2*k+1, lo, mid, along, left, f)
		b.passing(2*k+2, mid, hi, along, left, f)
		return
	}
	for _, s := range b.strands[lo:hi] {
		if along >= s.lo-2*Joint && along <= s.hi+2*Joint && math.Abs(left-at(s.start, s.end)) <= 2*Joint {
			f(s.line)
		}
	}
}

// hull returns the middle of the bundle, and how far it reaches to each side.
func (b *Bundle) hull() (l paths.Line, reach float64) {
	a := b.from.Add(b.unit.Left().Mul((b.left + b.right) / 2))
	return paths.Line{A: a, B: a.Add(b.unit.Mul(b.length))}, (b.left - b.right) / 2
}

// VisitBundles calls take for points and the lines of bundles that pass them within [Joint],
// and some that pass a little farther off.
func VisitBundles(bundles []*Bundle, points []paths.Point, take func(point, line int)) {
	if len(bundles) == 0 {
		return
	}
	reach := 0.
	for _, b := range bundles {
		_, r := b.hull()
		reach = max(reach, r)
	}
	index := near.NewCurves(len(bundles), func(i int) paths.Curve { l, _ := bundles[i].hull(); return l }, reach+4*Joint)
	for k, p := range points {
		index.Near(p, func(i int) bool {
			bundles[i].Passing(p, func(line int) { take(k, line) })
			return true
		})
	}
}
