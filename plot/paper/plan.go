package paper

import (
	"fmt"
	"math"
	"slices"

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

// row is a row of sheets along one axis: where each begins and ends, and its
// cells.
type row struct {
	from, to  []float64
	cells     []span
	jointCost float64
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

// axis is the ink along one axis, and the sheets that go over it.
type axis struct {
	lo, hi        float64        // of the ink
	size, overlap float64        // of what a sheet carries
	step          float64        // of the shifts
	cell          float64        // of the field
	n             int            // number of cells
	ink           func(span) int // in some cells
	words         [][2]float64   // from where to where lettering goes
}

// rows lists the rows of sheets to try: shifted by whole steps, and with the last
// sheet ending where the ink ends.
func (a axis) rows() []row {
	length := a.hi - a.lo
	if a.size >= length-1e-6 {
		return []row{a.row(a.lo - (a.size-length)/2)}
	}
	pitch := a.size - a.overlap
	var out []row
	for k := 0; float64(k)*a.step < pitch; k++ {
		out = append(out, a.row(a.lo-float64(k)*a.step))
	}
	last := math.Mod(a.hi-a.size-a.lo, pitch)
	return append(out, a.row(a.lo-pitch+last))
}

// row is the row whose first sheet begins at from.
func (a axis) row(from float64) row {
	var r row
	for {
		to := from + a.size
		r.from, r.to = append(r.from, from), append(r.to, to)
		r.cells = append(r.cells, covered(from, to, a.lo, a.hi, a.cell, a.n))
		if n := len(r.from); n > 1 {
			r.jointCost += a.joint(from, r.to[n-2])
		}
		if to >= a.hi-1e-6 || len(r.from) > 4*mostSheets {
			return r
		}
		from += a.size - a.overlap
	}
}

// joint is what it costs to join two sheets in the overlap from lo to hi: the ink
// within a mm of its middle, and far more for lettering.
func (a axis) joint(lo, hi float64) float64 {
	mid := (lo + hi) / 2
	near := span{int((mid - 1 - a.lo) / a.cell), int((mid+1-a.lo)/a.cell) + 1}
	near.from, near.to = min(max(near.from, 0), a.n), min(max(near.to, 0), a.n)
	cost := float64(a.ink(near))
	for _, w := range a.words {
		if w[0] < mid && mid < w[1] {
			cost += 1e6
		}
	}
	return cost
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

// tiling is a choice of columns and rows of sheets by their cells.
type tiling struct {
	*field
	x, y []span
}

// keptSheets are sheets that are kept, row by row from the bottom.
type keptSheets struct {
	is    []bool
	count int
}

// alone is the part of the i-th span that none of its neighbours covers.
func alone(s []span, i int) span {
	out := s[i]
	if i > 0 {
		out.from = max(out.from, s[i-1].to)
	}
	if i+1 < len(s) {
		out.to = min(out.to, s[i+1].from)
	}
	return out
}

// shared is what the i-th span has in common with the next.
func shared(s []span, i int) span { return span{s[i+1].from, s[i].to} }

// forced are the sheets with ink that no other sheet carries.
func (t tiling) forced() keptSheets {
	k := keptSheets{is: make([]bool, len(t.x)*len(t.y))}
	for j := range t.y {
		rows := alone(t.y, j)
		for i := range t.x {
			if t.has(alone(t.x, i), rows) {
				k.is[j*len(t.x)+i] = true
				k.count++
			}
		}
	}
	return k
}

// complete adds the fewest sheets that carry what the forced ones leave: ink in the
// overlaps, which two or four sheets could carry.
func (t tiling) complete(forced keptSheets) (kept []bool, count int, exact bool) {
	kept = slices.Clone(forced.is)
	needs := t.needs(kept)
	if len(needs) == 0 {
		return kept, forced.count, true
	}
	// Each sheet that may help is a set of the needs that it meets.
	sets := map[int]set{}
	for n, sheets := range needs {
		for _, s := range sheets {
			if sets[s] == nil {
				sets[s] = newSet(len(needs))
			}
			sets[s].add(n)
		}
	}
	var index []int
	for s := range sets {
		index = append(index, s)
	}
	slices.Sort(index)
	list := make([]set, len(index))
	for i, s := range index {
		list[i] = sets[s]
	}
	picked, exact := newCover(len(needs), list).fewest(20_000)
	for _, i := range picked {
		kept[index[i]] = true
	}
	return kept, forced.count + len(picked), exact
}

// needs lists, for each overlap with ink that no kept sheet carries, the sheets
// that could.
func (t tiling) needs(kept []bool) [][]int {
	var out [][]int
	need := func(x, y span, sheets ...int) {
		if slices.ContainsFunc(sheets, func(s int) bool { return kept[s] }) || !t.has(x, y) {
			return
		}
		out = append(out, sheets)
	}
	w := len(t.x)
	for j := range t.y {
		for i := range t.x {
			at := j*w + i
			right, above := i+1 < len(t.x), j+1 < len(t.y)
			if right {
				need(shared(t.x, i), alone(t.y, j), at, at+1)
			}
			if above {
				need(alone(t.x, i), shared(t.y, j), at, at+w)
			}
			if right && above {
				need(shared(t.x, i), shared(t.y, j), at, at+1, at+w, at+w+1)
			}
		}
	}
	return out
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
