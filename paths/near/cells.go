package near

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// Cells is a grid of square cells, each with the list of the items that reach
// into it. The lists share one array, in the order of the cells (a counting
// sort), and each is in ascending order of the items. Building takes time in
// proportion to the cells plus the entries; looking up a cell takes constant
// time.
type Cells struct {
	min    paths.Point
	side   float64
	nx, ny int
	start  []int32 // by cell, where its list starts in items
	items  []int32
}

// NewCells returns a grid over box of n items in cells of the given side in mm.
// It calls boxes once for each item, and boxes calls put with the boxes that
// cover the item, in order along it. Where there are many items, boxes is called
// from several goroutines at once. An item is entered in every cell that one of
// its boxes touches, and more than once only where boxes that are not
// consecutive share a cell. What lies outside box belongs to the cells at its
// edge. The side is made larger where there would be more than about 16 cells
// to an item.
func NewCells(box paths.Rect, side float64, n int, boxes func(i int, put func(paths.Rect))) *Cells {
	c := &Cells{min: box.Min, side: side}
	if n == 0 || box.IsEmpty() {
		return c
	}
	w, h, most := box.Width(), box.Height(), 16*float64(n)
	c.side = max(side, math.Sqrt(w*h/most), (w+h)/most, 1e-9)
	c.nx, c.ny = int(w/c.side)+1, int(h/c.side)+1
	chunks := make([]entries, (n+itemsAtOnce-1)/itemsAtOnce)
	cores.EachUntil(len(chunks), func() bool { return false }, func(k int) {
		chunks[k] = c.entriesOf(k*itemsAtOnce, min(n, (k+1)*itemsAtOnce), boxes)
	})
	// Until the items are entered, each cell stands one place further on.
	fill := make([]int32, c.nx*c.ny+2)
	count := 0
	for _, e := range chunks {
		count += len(e.cells)
		for _, cell := range e.cells {
			fill[cell+2]++
		}
	}
	for k := range c.nx * c.ny {
		fill[k+2] += fill[k+1]
	}
	c.items, c.start, fill = make([]int32, count), fill[:len(fill)-1], fill[1:]
	for k, e := range chunks {
		from := int32(0)
		for i, upTo := range e.upTo {
			for _, cell := range e.cells[from:upTo] {
				c.items[fill[cell]] = int32(k*itemsAtOnce + i)
				fill[cell]++
			}
			from = upTo
		}
	}
	return c
}

// itemsAtOnce is how many items one core enters at a time.
const itemsAtOnce = 1024

// entries are the cells of items, one item after the other.
type entries struct {
	cells []int32
	upTo  []int32 // by item, where its cells end
}

// entriesOf returns the cells of the items from lo to hi-1.
func (c *Cells) entriesOf(lo, hi int, boxes func(i int, put func(paths.Rect))) entries {
	e := entries{cells: make([]int32, 0, 2*(hi-lo)), upTo: make([]int32, 0, hi-lo)}
	for i := lo; i < hi; i++ {
		var t trace
		boxes(i, func(r paths.Rect) {
			t.visit(c, r, func(cell int) { e.cells = append(e.cells, int32(cell)) })
		})
		e.upTo = append(e.upTo, int32(len(e.cells)))
	}
	return e
}

// trace goes over the cells of boxes that follow one another, and leaves out
// those of the box before.
type trace struct {
	begun          bool
	x0, y0, x1, y1 int
}

func (t *trace) visit(c *Cells, r paths.Rect, f func(cell int)) {
	x0, y0 := c.xy(r.Min)
	x1, y1 := c.xy(r.Max)
	now := trace{true, x0, y0, x1, y1}
	if now == *t {
		return
	}
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			if t.begun && t.x0 <= x && x <= t.x1 && t.y0 <= y && y <= t.y1 {
				continue
			}
			f(y*c.nx + x)
		}
	}
	*t = now
}

// Side returns the side of a cell in mm.
func (c *Cells) Side() float64 { return c.side }

// xy returns the column and the row of the cell that holds p, or of the one
// nearest to it.
func (c *Cells) xy(p paths.Point) (x, y int) {
	// Held to the grid before it is made whole: a place far off would not fit an int.
	at := func(offset float64, n int) int { return int(min(float64(n-1), max(0, offset/c.side))) }
	return at(p.X-c.min.X, c.nx), at(p.Y-c.min.Y, c.ny)
}

// holds reports whether p lies in the grid, and not in a cell only because that is
// the nearest.
func (c *Cells) holds(p paths.Point) bool {
	return p.X >= c.min.X && p.Y >= c.min.Y && p.X < c.min.X+float64(c.nx)*c.side && p.Y < c.min.Y+float64(c.ny)*c.side
}

// cellAt returns the number and the box of the cell that holds p.
func (c *Cells) cellAt(p paths.Point) (int32, paths.Rect) {
	x, y := c.xy(p)
	corner := c.min.Add(paths.Point{X: float64(x) * c.side, Y: float64(y) * c.side})
	return int32(y*c.nx + x), paths.RectOf(corner, corner.Add(paths.Point{X: c.side, Y: c.side}))
}

// row returns the items in the cells of row y from column x0 to x1.
func (c *Cells) row(y, x0, x1 int) []int32 {
	return c.items[c.start[y*c.nx+x0]:c.start[y*c.nx+x1+1]]
}

// At returns the items in the cell that holds p. The caller must not change
// them.
func (c *Cells) At(p paths.Point) []int32 {
	if len(c.start) == 0 {
		return nil
	}
	x, y := c.xy(p)
	return c.row(y, x, x)
}

// In calls visit with the items of every cell that r touches, once for each cell.
// The caller must not change the items.
func (c *Cells) In(r paths.Rect, visit func(items []int32)) {
	if len(c.start) == 0 || r.IsEmpty() {
		return
	}
	var t trace
	t.visit(c, r, func(cell int) { visit(c.items[c.start[cell]:c.start[cell+1]]) })
}

// Each calls visit with the items of every cell that has any. The caller must not change
// them.
func (c *Cells) Each(visit func(items []int32)) {
	for k := 1; k < len(c.start); k++ {
		if items := c.items[c.start[k-1]:c.start[k]]; len(items) > 0 {
			visit(items)
		}
	}
}

// Along calls visit with the items of every cell that comes within grow mm of
// the segment from a to b: usually once for each cell, sometimes more often.
// The segment is taken in parts no longer than a cell, so that a slanting one
// does not visit all of its box. What lies outside the grid is one part at each
// end: however long the segment, there are no more parts than the grid has rows
// and columns. The caller must not change the items.
func (c *Cells) Along(a, b paths.Point, grow float64, visit func(items []int32)) {
	if len(c.start) == 0 {
		return
	}
	var t trace
	put := func(r paths.Rect) {
		t.visit(c, r.Grow(grow), func(cell int) { visit(c.items[c.start[cell]:c.start[cell+1]]) })
	}
	in, out := c.within(a, b)
	p, q := a.Lerp(b, in), a.Lerp(b, out)
	if in > 0 {
		put(paths.RectOf(a, p))
	}
	Steps(p, q, c.side, put)
	if out < 1 {
		put(paths.RectOf(q, b))
	}
}

// within returns between which parameters, from 0 to 1, the segment from a to b lies
// in the grid: slab by slab, as Liang and Barsky clip a line. Where it misses the
// grid, both are the parameter at which it passes out of a slab or into one.
func (c *Cells) within(a, b paths.Point) (in, out float64) {
	in, out = 0, 1
	slab := func(a, b, low, high float64) {
		d := b - a
		if d == 0 {
			return
		}
		t0, t1 := (low-a)/d, (high-a)/d
		in, out = max(in, min(t0, t1)), min(out, max(t0, t1))
	}
	slab(a.X, b.X, c.min.X, c.min.X+float64(c.nx)*c.side)
	slab(a.Y, b.Y, c.min.Y, c.min.Y+float64(c.ny)*c.side)
	if in = min(in, 1); in > out {
		in = max(0, out)
		return in, in
	}
	return in, out
}

// Steps calls put with the boxes of equal parts of the segment from a to b,
// each no longer than step mm but for rounding.
func Steps(a, b paths.Point, step float64, put func(paths.Rect)) {
	parts := int(a.Dist(b)/step) + 1
	for k := range parts {
		put(paths.RectOf(a.Lerp(b, float64(k)/float64(parts)), a.Lerp(b, float64(k+1)/float64(parts))))
	}
}
