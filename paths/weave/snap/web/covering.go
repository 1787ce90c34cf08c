package web

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"weftplot/paths"
)

// Span is an interval of a line, Lo <= Hi, in mm along it.
type Span struct{ Lo, Hi float64 }

// triesEach is how many spans are offered to a point for each that may be taken.
const triesEach = 16

// Cover pairs points of one line with the spans that cover them. It calls take for the
// points of each span, the longest span first and each span's points in order, until
// take has accepted most spans for a point, or has refused a few times as many. The
// points ascend.
//
// The longest spans are enough to say which spans hang together: of two that overlap, the
// longer covers an end of the shorter. The time grows with the points and with the spans,
// however many cover one point.
func Cover(at []float64, spans []Span, most int, take func(point, span int) bool) {
	order := make([]int, len(spans))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(spans[b].Hi-spans[b].Lo, spans[a].Hi-spans[a].Lo)
	})
	accepted, tries := make([]int, len(at)), make([]int, len(at))
	open := make([]int, len(at)+1) // by point: itself, or a later one if it is full
	for k := range open {
		open[k] = k
	}
	next := func(k int) int {
		for open[k] != k {
			open[k] = open[open[k]]
			k = open[k]
		}
		return k
	}
	for _, i := range order {
		for k := next(sort.SearchFloat64s(at, spans[i].Lo)); k < len(at) && at[k] <= spans[i].Hi; k = next(k + 1) {
			if take(k, i) {
				accepted[k]++
			}
			if tries[k]++; accepted[k] >= most || tries[k] >= triesEach*most {
				open[k] = k + 1
			}
		}
	}
}

// Carrier is lines that lie on one straight line, within [Joint] and rounding.
type Carrier struct {
	Lines []int // by their numbers, ascending
	// Hull reaches over all of them.
	Hull paths.Line
	unit paths.Point
}

// At returns how far along the carrier a point is, in mm.
func (c *Carrier) At(p paths.Point) float64 { return p.Sub(c.Hull.A).Dot(c.unit) }

// Carriers returns the carriers of at least so many lines, and the lines that are on none
// of them. It is for finding heaps: lines on one straight line whose directions differ by
// the rounding of a file may come to be on different carriers.
func Carriers(lines []paths.Line, least int) (carriers []Carrier, others []int) {
	const angle, place = 1e-7, 1e-5
	keys, sets, others := crowds(lines, least, func(l paths.Line, u paths.Point) lineKey {
		return lineKey{int64(math.Round(u.Angle() / angle)), int64(math.Round(u.Cross(l.A) / place))}
	})
	for _, k := range keys {
		of := sets[k]
		if len(of) < least {
			others = append(others, of...)
			continue
		}
		c, off := carrierOf(lines, of)
		others = append(others, off...)
		if len(c.Lines) < least {
			others = append(others, c.Lines...)
			continue
		}
		carriers = append(carriers, c)
	}
	slices.Sort(others)
	return carriers, others
}

// carrierOf returns the carrier along the longest of some lines, and those that are off it.
func carrierOf(lines []paths.Line, of []int) (c Carrier, off []int) {
	longest := of[0]
	for _, i := range of {
		if lines[i].Length() > lines[longest].Length() {
			longest = i
		}
	}
	a := lines[longest].A
	c.unit = upward(lines[longest])
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, i := range of {
		p, q := lines[i].A.Sub(a), lines[i].B.Sub(a)
		if max(math.Abs(c.unit.Cross(p)), math.Abs(c.unit.Cross(q))) > Joint/2 {
			off = append(off, i)
			continue
		}
		c.Lines = append(c.Lines, i)
		s, t := c.unit.Dot(p), c.unit.Dot(q)
		lo, hi = min(lo, s, t), max(hi, s, t)
	}
	c.Hull = paths.Line{A: a.Add(c.unit.Mul(lo)), B: a.Add(c.unit.Mul(hi))}
	return c, off
}

// upward returns the unit vector along a line, the one of both that points to the right,
// or straight up; zero for a line without length.
func upward(l paths.Line) paths.Point {
	d := l.B.Sub(l.A)
	if d == (paths.Point{}) {
		return d
	}
	if d.X < 0 || d.X == 0 && d.Y < 0 {
		d = d.Mul(-1)
	}
	return d.Unit()
}
