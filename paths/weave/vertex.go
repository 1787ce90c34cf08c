package weave

import (
	"math"

	"weftplot/paths"
)

// joint is how near two ends lie that are meant as one, in mm: far above the
// rounding of any file's numbers, far below anything a pen can show.
const joint = 1e-6

// vertices numbers the ends of curves so that ends within joint of each other,
// the same on paper, have the same number.
type vertices struct {
	at    []paths.Point // the first end met at each vertex
	cells map[[2]int64][]int32
}

// cellSize is far above joint, so that few ends lie near the edge of a cell.
const cellSize = 1e-3

func newVertices(n int) *vertices {
	return &vertices{at: make([]paths.Point, 0, n), cells: make(map[[2]int64][]int32, n)}
}

// number returns the vertex p belongs to, a new one if there is none.
func (v *vertices) number(p paths.Point) int {
	x0, x1 := cellsNear(p.X)
	y0, y1 := cellsNear(p.Y)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			for _, i := range v.cells[[2]int64{x, y}] {
				if q := v.at[i]; math.Abs(p.X-q.X) <= joint && math.Abs(p.Y-q.Y) <= joint {
					return int(i)
				}
			}
		}
	}
	i := len(v.at)
	v.at = append(v.at, p)
	cell := [2]int64{int64(math.Floor(p.X / cellSize)), int64(math.Floor(p.Y / cellSize))}
	v.cells[cell] = append(v.cells[cell], int32(i))
	return i
}

// cellsNear returns the cells that hold everything within joint of x.
func cellsNear(x float64) (lo, hi int64) {
	return int64(math.Floor((x - joint) / cellSize)), int64(math.Floor((x + joint) / cellSize))
}

// web is a set of strokes with their ends numbered.
type web struct {
	strokes []paths.Stroke
	ends    [][][2]int // stroke, curve: the vertices of its start and end
	*vertices
}

func newWeb(strokes []paths.Stroke) *web {
	n := 0
	for _, s := range strokes {
		n += len(s)
	}
	w := &web{strokes, make([][][2]int, len(strokes)), newVertices(n + len(strokes))}
	for i, s := range strokes {
		w.ends[i] = make([][2]int, len(s))
		for j, c := range s {
			w.ends[i][j] = [2]int{w.number(c.Start()), w.number(c.End())}
		}
	}
	return w
}

// isClosed reports whether stroke i comes back to where it starts.
func (w *web) isClosed(i int) bool {
	e := w.ends[i]
	return len(e) > 1 && e[0][0] == e[len(e)-1][1]
}
