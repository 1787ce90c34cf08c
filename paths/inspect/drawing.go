package inspect

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/near"
)

// segment is a straight piece of a stroke.
type segment struct {
	a, b   paths.Point
	u      paths.Point // its direction, zero for a dot
	length float64
	stroke int32
	from   float64 // how far along the stroke it begins
}

func (s segment) at(d float64) paths.Point { return s.a.Add(s.u.Mul(d)) }

// part returns the part of a segment between two distances from its start.
func (s segment) part(from, to float64) segment {
	return segment{s.at(from), s.at(to), s.u, to - from, s.stroke, s.from + from}
}

// drawing is the drawing in pieces.
type drawing struct {
	Options
	segs   []segment
	first  []int32   // by stroke: its first segment; one more at the end
	length []float64 // by stroke
	closed []bool

	seen  []int32 // by segment: the last query that met it
	query int32
	work  int // looks that were taken, at entries of indexes and at boxes of trees
}

// flatness is how close the polylines are kept, in distances within which lines
// are double.
const flatness = 0.1

func newDrawing(strokes []paths.Stroke, opt Options) *drawing {
	f := &drawing{Options: opt}
	tol := opt.Double * flatness
	for i, s := range strokes {
		f.first = append(f.first, int32(len(f.segs)))
		f.closed = append(f.closed, s.IsClosed())
		pts, at := s.Flatten(tol), 0.
		for k := 1; k < len(pts); k++ {
			d := pts[k].Sub(pts[k-1])
			l := d.Len()
			f.segs = append(f.segs, segment{pts[k-1], pts[k], d.Unit(), l, int32(i), at})
			at += l
		}
		f.length = append(f.length, at)
	}
	f.first = append(f.first, int32(len(f.segs)))
	f.seen = make([]int32, len(f.segs))
	return f
}

// ask begins a new query: no segment has been met in it.
func (f *drawing) ask() { f.query++ }

// meet reports whether a segment is met for the first time in this query.
func (f *drawing) meet(i int32) bool {
	if f.seen[i] == f.query {
		return false
	}
	f.seen[i] = f.query
	return true
}

// index is a grid that finds some of the segments.
type index struct {
	ids   []int32 // the segments, ascending
	cells *near.Cells
}

// entries is how many entries an index of few long segments may have.
const entries = 1_000_000

// indexOf returns an index of some segments, given in ascending order. Its cells are no
// smaller than side, and each segment is entered with what lies within grow of it. There
// are not many more entries than segments, or than a fixed number.
func (f *drawing) indexOf(ids []int32, side, grow float64) index {
	box, total := paths.EmptyRect(), 0.
	for _, i := range ids {
		s := f.segs[i]
		box = box.Include(s.a).Include(s.b)
		total += s.length
	}
	box = box.Grow(grow)
	most := float64(8 * max(1, len(ids)))
	side = max(side, total/max(most, entries), math.Sqrt(box.Width()*box.Height()/most), (box.Width()+box.Height())/most, 1e-9)
	return index{ids: ids, cells: near.NewCells(box, side, len(ids), func(k int, put func(paths.Rect)) {
		s := f.segs[ids[k]]
		near.Steps(s.a, s.b, side, func(r paths.Rect) { put(r.Grow(grow)) })
	})}
}

// apart returns how far two places of one stroke lie apart along it.
func (f *drawing) apart(stroke int32, s, t float64) float64 {
	d := math.Abs(s - t)
	if f.closed[stroke] {
		d = min(d, f.length[stroke]-d)
	}
	return d
}

// place returns the point of a stroke at a distance from its start.
func (f *drawing) place(stroke int32, at float64) paths.Point {
	lo, hi := f.first[stroke], f.first[stroke+1]
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; f.segs[mid].from <= at {
			lo = mid
		} else {
			hi = mid
		}
	}
	s := f.segs[lo]
	return s.at(min(s.length, max(0, at-s.from)))
}
