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

// drawing is the drawing in pieces, with a grid that finds what is near.
type drawing struct {
	Options
	segs   []segment
	first  []int32   // by stroke: its first segment; one more at the end
	length []float64 // by stroke
	closed []bool

	cells  *near.Cells
	seen   []int32 // by segment: the last query that met it
	query  int32
	budget int // looks that may still be taken
}

// flatness is how close the polylines are kept, in distances within which lines
// are double.
const flatness = 0.1

// maxLooks bounds how many pairs of segments are looked at.
const maxLooks = 30_000_000

func newDrawing(strokes []paths.Stroke, opt Options) *drawing {
	f := &drawing{Options: opt, budget: maxLooks}
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
	f.enter()
	return f
}

// enter makes the grid: square cells no smaller than the reach, so that what is
// near a point is in its cell or one beside it, and not many more than segments.
func (f *drawing) enter() {
	box, total := paths.EmptyRect(), 0.
	for _, s := range f.segs {
		box = box.Include(s.a).Include(s.b)
		total += s.length
	}
	most := float64(8 * max(1, len(f.segs)))
	side := max(f.reach(), total/most, math.Sqrt(box.Width()*box.Height()/most), (box.Width()+box.Height())/most, 1e-9)
	f.seen = make([]int32, len(f.segs))
	f.cells = near.NewCells(box, side, len(f.segs), func(i int, put func(paths.Rect)) {
		near.Steps(f.segs[i].a, f.segs[i].b, side, put)
	})
}

// near calls g with the number of every segment whose box comes within reach of
// the segment's, once each. It returns false when the budget is spent.
func (f *drawing) near(s segment, reach float64, g func(i int32)) bool {
	f.query++
	box := paths.RectOf(s.a, s.b).Grow(reach)
	f.cells.Along(s.a, s.b, reach, func(items []int32) {
		if f.budget <= 0 {
			return
		}
		for _, i := range items {
			f.budget--
			if f.seen[i] == f.query {
				continue
			}
			f.seen[i] = f.query
			if o := f.segs[i]; box.Overlaps(paths.RectOf(o.a, o.b)) {
				g(i)
			}
		}
	})
	return f.budget > 0
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
