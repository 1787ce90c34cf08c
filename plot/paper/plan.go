package paper

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Plan is the pattern laid out on sheets.
type Plan struct {
	Pattern Pattern
	Options Options
	// Sheets carry the pattern, row by row from the top, each from left to right.
	Sheets []Sheet
	// Rows and Cols are those of the whole, with the sheets that are left out.
	Rows, Cols int
	// Step is how finely shifts of the sheets were tried, in mm: no layout of sheets
	// that are smaller by it both ways has fewer, when Exact is true.
	Step  float64
	Exact bool

	// Places are where the iron is pressed, in the order of pressing, where one is
	// asked for.
	Places []Place

	field *field
}

// Sheet is one sheet of paper.
type Sheet struct {
	Name     string // "A1": the row from the top, and the column from the left
	Row, Col int    // from 0
	// W and H are the paper's sides in mm as it comes out of the printer's file.
	W, H float64
	// Origin is where the lower left corner of the paper lies in the frame "drawn",
	// and Carries what of that frame can be printed.
	Origin  paths.Point
	Carries paths.Rect
	// Own is what of Carries is left when the overlaps are shared out: its sides are
	// the joints with the neighbours.
	Own paths.Rect
	// Left, Right, Below and Above report whether there is a neighbour.
	Left, Right, Below, Above bool
}

// Lay finds the layout with the fewest sheets, over both ways of turning the paper
// and all shifts by whole steps; of those the one whose joints meet the least ink,
// and no lettering if that can be. Options that leave no room, and a pattern
// that takes more than 400 sheets, are a [fault.Error].
func Lay(p Pattern, opt Options) (Plan, error) {
	if err := opt.Check(); err != nil {
		return Plan{}, err
	}
	f := newField(p, 1)
	turned := opt.Size
	turned.W, turned.H = turned.H, turned.W
	best := layout{sheets: math.MaxInt, needed: math.MaxInt}
	for _, size := range []Size{opt.Size, turned} {
		best = newOrientation(p, f, opt, size).search(best)
	}
	if best.sheets > mostSheets {
		return Plan{}, fault.TooBig("print", "give larger paper, such as a2 or 24in-roll",
			"the pattern takes %d sheets of %s, and at most %d are printed", best.needed, opt.Size.Name, mostSheets)
	}
	plan := best.plan(p, opt, f)
	if opt.Iron[0] > 0 {
		plan.Places, _, _ = Places(p, opt.Iron[0], opt.Iron[1])
	}
	return plan, nil
}

// orientation is one way of turning the paper.
type orientation struct {
	field *field
	size  Size
	scale Scale
	// margin is the printer's, in mm of the pattern.
	mx, my float64
	x, y   []row // the shifts to try
	step   float64
}

// newOrientation finds the shifts of either axis.
func newOrientation(p Pattern, f *field, opt Options, size Size) orientation {
	o := orientation{field: f, size: size, scale: opt.Scale, step: f.step}
	// What is x long in the file is Scale times as long on the printed paper.
	o.mx, o.my = opt.Margin*opt.Scale.X, opt.Margin*opt.Scale.Y
	w := (size.W - 2*opt.Margin) * opt.Scale.X
	h := (size.H - 2*opt.Margin) * opt.Scale.Y
	if size.Roll {
		// What is cut from a roll is as long as it must be.
		if size.H > size.W {
			h = min(h, f.box.Height())
		} else {
			w = min(w, f.box.Width())
		}
	}
	along := func(lo, hi, size float64, n int, ink func(span) int) axis {
		return axis{lo: lo, hi: hi, size: size, overlap: opt.Overlap, step: f.step, cell: f.step, n: n, ink: ink}
	}
	x := along(f.box.Min.X, f.box.Max.X, w, f.nx, func(s span) int { return f.count(s, span{0, f.ny}) })
	y := along(f.box.Min.Y, f.box.Max.Y, h, f.ny, func(s span) int { return f.count(span{0, f.nx}, s) })
	for _, r := range p.Lettering {
		x.words = append(x.words, [2]float64{r.Min.X, r.Max.X})
		y.words = append(y.words, [2]float64{r.Min.Y, r.Max.Y})
	}
	// At most so many looks at the field are made for all shifts together.
	const mostLooks = 4_000_000
	for {
		o.x, o.y = x.rows(), y.rows()
		sheets := len(o.x[0].cells) * len(o.y[0].cells)
		if len(o.x)*len(o.y)*sheets <= mostLooks || x.step > w/4 {
			o.step = x.step
			return o
		}
		x.step *= 1.5
		y.step *= 1.5
	}
}

// layout is a choice of rows, with the sheets that carry the ink.
type layout struct {
	orientation
	col, line row
	sheets    int
	needed    int    // the fewest of layouts that are far too large
	kept      []bool // row by row from the bottom
	cost      float64
	exact     bool
}

// search tries every pair of shifts, and returns the best layout, or the one that is
// handed over if that is better.
func (o orientation) search(best layout) layout {
	for _, y := range o.y {
		for _, x := range o.x {
			t := tiling{o.field, x.cells, y.cells}
			forced := t.forced()
			cost := x.jointCost + y.jointCost
			if forced.count > mostSheets {
				best.needed = min(best.needed, forced.count)
				continue
			}
			if forced.count > best.sheets || forced.count == best.sheets && cost >= best.cost {
				continue
			}
			kept, n, exact := t.complete(forced)
			if n < best.sheets || n == best.sheets && cost < best.cost {
				best = layout{o, x, y, n, best.needed, kept, cost, exact}
			}
		}
	}
	return best
}

// plan turns the layout into sheets.
func (l layout) plan(p Pattern, opt Options, f *field) Plan {
	out := Plan{Pattern: p, Options: opt, Rows: len(l.line.from), Cols: len(l.col.from), Step: l.step, Exact: l.exact, field: f}
	kept := func(i, j int) bool {
		return i >= 0 && j >= 0 && i < out.Cols && j < out.Rows && l.kept[j*out.Cols+i]
	}
	for j := out.Rows - 1; j >= 0; j-- {
		for i := range out.Cols {
			if !kept(i, j) {
				continue
			}
			s := Sheet{
				Row: out.Rows - 1 - j, Col: i, W: l.size.W, H: l.size.H,
				Carries: paths.Rect{Min: paths.Point{X: l.col.from[i], Y: l.line.from[j]}, Max: paths.Point{X: l.col.to[i], Y: l.line.to[j]}},
				Left:    kept(i-1, j), Right: kept(i+1, j), Below: kept(i, j-1), Above: kept(i, j+1),
			}
			s.Name = fmt.Sprintf("%s%d", rowName(s.Row), s.Col+1)
			s.Origin = s.Carries.Min.Sub(paths.Point{X: l.mx, Y: l.my})
			if l.size.Roll {
				s.W, s.H = l.cut(s.Carries)
			}
			s.Own = s.own(opt.Overlap / 2)
			out.Sheets = append(out.Sheets, s)
		}
	}
	return out
}

// cut returns the sides of what is cut from a roll to carry a rectangle.
func (l layout) cut(r paths.Rect) (w, h float64) {
	w, h = l.size.W, l.size.H
	if h > w {
		return w, (r.Height() + 2*l.my) / l.scale.Y
	}
	return (r.Width() + 2*l.mx) / l.scale.X, h
}

// own takes half an overlap away where there is a neighbour.
func (s Sheet) own(half float64) paths.Rect {
	r := s.Carries
	for _, side := range []struct {
		is bool
		at *float64
		by float64
	}{{s.Left, &r.Min.X, half}, {s.Right, &r.Max.X, -half}, {s.Below, &r.Min.Y, half}, {s.Above, &r.Max.Y, -half}} {
		if side.is {
			*side.at += side.by
		}
	}
	return r
}

// rowName is the name of a row from 0: A to Z, then AA and on.
func rowName(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return rowName(i/26-1) + string(rune('A'+i%26))
}
