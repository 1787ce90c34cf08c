package inspect

import (
	"math"

	"weftplot/paths"
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

// field is the drawing in pieces, with a grid that finds what is near.
type field struct {
	Options
	segs   []segment
	first  []int32   // by stroke: its first segment; one more at the end
	length []float64 // by stroke
	closed []bool

	cell   float64
	min    paths.Point
	nx, ny int
	start  []int32 // where a cell's list starts in items
	items  []int32
	seen   []int32 // by segment: the last query that met it
	query  int32
	budget int // looks left
}

// flatness is how close the polylines are kept, in distances within which lines
// are double.
const flatness = 0.1

// maxLooks bounds how many pairs of segments are looked at.
const maxLooks = 60_000_000

func newField(strokes []paths.Stroke, opt Options) *field {
	f := &field{Options: opt, budget: maxLooks}
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
func (f *field) enter() {
	box, total := paths.EmptyRect(), 0.
	for _, s := range f.segs {
		box = box.Include(s.a).Include(s.b)
		total += s.length
	}
	n := float64(len(f.segs))
	if n == 0 {
		return
	}
	f.min = box.Min
	f.cell = max(f.reach(), total/(8*n), math.Sqrt(box.Width()*box.Height()/(8*n)), (box.Width()+box.Height())/(8*n), 1e-9)
	f.nx, f.ny = int(box.Width()/f.cell)+1, int(box.Height()/f.cell)+1
	f.start = make([]int32, f.nx*f.ny+1)
	f.seen = make([]int32, len(f.segs))
	f.eachCell(func(cell int, _ int32) { f.start[cell+1]++ })
	for c := range f.nx * f.ny {
		f.start[c+1] += f.start[c]
	}
	f.items = make([]int32, f.start[f.nx*f.ny])
	fill := append([]int32(nil), f.start...)
	f.eachCell(func(cell int, i int32) {
		f.items[fill[cell]] = i
		fill[cell]++
	})
}

// eachCell calls g with every cell that each segment may pass.
func (f *field) eachCell(g func(cell int, i int32)) {
	for i, s := range f.segs {
		f.cellsOf(s, 0, func(cell int) { g(cell, int32(i)) })
	}
}

// cellsOf calls g with every cell within grow of the segment, each at least
// once.
func (f *field) cellsOf(s segment, grow float64, g func(cell int)) {
	parts := int(s.length/f.cell) + 1
	before := [4]int{-1}
	for k := range parts {
		p, q := s.a.Lerp(s.b, float64(k)/float64(parts)), s.a.Lerp(s.b, float64(k+1)/float64(parts))
		r := paths.RectOf(p, q).Grow(grow)
		x0, y0 := f.xy(r.Min)
		x1, y1 := f.xy(r.Max)
		now := [4]int{x0, y0, x1, y1}
		if now == before {
			continue
		}
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				if k > 0 && before[0] <= x && x <= before[2] && before[1] <= y && y <= before[3] {
					continue
				}
				g(y*f.nx + x)
			}
		}
		before = now
	}
}

func (f *field) xy(p paths.Point) (x, y int) {
	return min(f.nx-1, max(0, int((p.X-f.min.X)/f.cell))), min(f.ny-1, max(0, int((p.Y-f.min.Y)/f.cell)))
}

// near calls g with the number of every segment whose box comes within reach of
// the segment's, once each. It returns false when the budget is spent.
func (f *field) near(s segment, reach float64, g func(i int32)) bool {
	f.query++
	box := paths.RectOf(s.a, s.b).Grow(reach)
	f.cellsOf(s, reach, func(cell int) {
		if f.budget <= 0 {
			return
		}
		for _, i := range f.items[f.start[cell]:f.start[cell+1]] {
			f.budget--
			if f.seen[i] == f.query {
				continue
			}
			f.seen[i] = f.query
			if o := f.segs[i]; max(o.a.X, o.b.X) >= box.Min.X && min(o.a.X, o.b.X) <= box.Max.X &&
				max(o.a.Y, o.b.Y) >= box.Min.Y && min(o.a.Y, o.b.Y) <= box.Max.Y {
				g(i)
			}
		}
	})
	return f.budget > 0
}

// apart returns how far two places of one stroke lie apart along it.
func (f *field) apart(stroke int32, s, t float64) float64 {
	d := math.Abs(s - t)
	if f.closed[stroke] {
		d = min(d, f.length[stroke]-d)
	}
	return d
}

// place returns the point of a stroke at a distance from its start.
func (f *field) place(stroke int32, at float64) paths.Point {
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
