package paper

import (
	"math"

	"weftplot/paths"
)

// field is where ink lies, in square cells. It counts the inked cells of any
// rectangle of cells in four looks (Crow, "Summed-area tables for texture
// mapping", SIGGRAPH 1984).
type field struct {
	box    paths.Rect // of the ink; the first cell begins at Min
	step   float64    // side of a cell, in mm
	nx, ny int
	sum    []int32 // of the cells below and left of each corner
}

// mostCells bounds the memory of a field to 64 MB.
const mostCells = 16_000_000

// newField marks every cell that ink may touch. It is never finer than step.
func newField(p Pattern, step float64) *field {
	f := &field{box: p.bounds(), step: step}
	for f.box.Width()/f.step*(f.box.Height()/f.step) > mostCells {
		f.step *= 1.5
	}
	f.nx = max(1, int(math.Ceil(f.box.Width()/f.step-1e-9)))
	f.ny = max(1, int(math.Ceil(f.box.Height()/f.step-1e-9)))
	f.sum = make([]int32, (f.nx+1)*(f.ny+1))
	for _, k := range p.Ink {
		f.mark(k)
	}
	for y := 1; y <= f.ny; y++ {
		row, below := y*(f.nx+1), (y-1)*(f.nx+1)
		var line int32
		for x := 1; x <= f.nx; x++ {
			line += f.sum[row+x]
			f.sum[row+x] = line + f.sum[below+x]
		}
	}
	return f
}

// mark marks the cells of one line.
func (f *field) mark(k Ink) {
	pts := k.Stroke.Flatten(f.step / 20)
	if len(pts) == 0 {
		return
	}
	r := k.Width/2 + f.step/10
	f.dab(pts[0], r)
	for i := 1; i < len(pts); i++ {
		n := int(math.Ceil(pts[i].Dist(pts[i-1]) / (f.step / 2)))
		for j := 1; j <= n; j++ {
			f.dab(pts[i-1].Lerp(pts[i], float64(j)/float64(n)), r)
		}
	}
}

// dab marks the cells within r of p, each way.
func (f *field) dab(p paths.Point, r float64) {
	x0, y0 := f.cell(paths.Point{X: p.X - r, Y: p.Y - r})
	x1, y1 := f.cell(paths.Point{X: p.X + r, Y: p.Y + r})
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			f.sum[(y+1)*(f.nx+1)+x+1] = 1
		}
	}
}

// cell returns the cell of p, or the nearest one.
func (f *field) cell(p paths.Point) (x, y int) {
	x = int(math.Floor((p.X - f.box.Min.X) / f.step))
	y = int(math.Floor((p.Y - f.box.Min.Y) / f.step))
	return min(max(x, 0), f.nx-1), min(max(y, 0), f.ny-1)
}

// count returns the number of inked cells in a span of columns and one of rows.
func (f *field) count(x, y span) int {
	if x.to <= x.from || y.to <= y.from {
		return 0
	}
	w := f.nx + 1
	return int(f.sum[y.to*w+x.to] - f.sum[y.from*w+x.to] - f.sum[y.to*w+x.from] + f.sum[y.from*w+x.from])
}

// has reports whether there is ink in a span of columns and one of rows.
func (f *field) has(x, y span) bool { return f.count(x, y) > 0 }

// within returns the count of the cells that touch a rectangle.
func (f *field) within(r paths.Rect) int {
	if !r.Overlaps(f.box) {
		return 0
	}
	x0, y0 := f.cell(r.Min)
	x1, y1 := f.cell(r.Max)
	return f.count(span{x0, x1 + 1}, span{y0, y1 + 1})
}

// span is a range of columns or rows, the last one not in it.
type span struct{ from, to int }

// covered returns the cells of one axis that lie within [from, to]: lo and hi are
// the ends of the ink, where the last cell is cut short, and n is the number of
// cells.
func covered(from, to, lo, hi, step float64, n int) span {
	const slack = 1e-6 // mm
	s := span{int(math.Ceil((from - lo - slack) / step)), int(math.Floor((to - lo + slack) / step))}
	if to >= hi-slack {
		s.to = n
	}
	s.from, s.to = min(max(s.from, 0), n), min(max(s.to, 0), n)
	return s
}
