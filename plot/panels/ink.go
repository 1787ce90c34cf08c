package panels

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// ink finds the curves of a drawing that may meet another.
type ink struct {
	curves []inkCurve
	cells  *near.Cells
	seen   []int // by curve: the last query that came upon it
	query  int
}

type inkCurve struct {
	paths.Curve
	stroke int
	number int // among the curves of the stroke
	box    paths.Rect
	woven  bool // a line in a channel
}

func newInk(strokes []Stroke, g weave.Grid) *ink {
	x := &ink{}
	all := paths.EmptyRect()
	for i, s := range strokes {
		for k, c := range s.Stroke {
			box := c.Bounds()
			all = all.Union(box)
			x.curves = append(x.curves, inkCurve{c, i, k, box, inChannel(c, g)})
		}
	}
	x.seen = make([]int, len(x.curves))
	side := max(1, math.Sqrt(area(all)/float64(len(x.curves)+1)))
	x.cells = near.NewCells(all, side, len(x.curves), func(i int, put func(paths.Rect)) {
		if l, ok := x.curves[i].Curve.(paths.Line); ok {
			near.Steps(l.A, l.B, side, put)
			return
		}
		inParts(x.curves[i].Curve, 4*side, put)
	})
	return x
}

// inParts calls put with the boxes of parts of a curve that are no larger than a size.
func inParts(c paths.Curve, size float64, put func(paths.Rect)) {
	box := c.Bounds()
	if max(box.Width(), box.Height()) <= size {
		put(box)
		return
	}
	a, b := c.Split(0.5)
	inParts(a, size, put)
	inParts(b, size, put)
}

// meeting calls f with every curve whose box meets that of c, once each.
func (x *ink) meeting(c paths.Curve, f func(inkCurve)) {
	x.query++
	box := c.Bounds().Grow(hair)
	x.cells.In(box, func(items []int32) {
		for _, k := range items {
			if x.seen[k] != x.query && x.curves[k].box.Overlaps(box) {
				x.seen[k] = x.query
				f(x.curves[k])
			}
		}
	})
}
