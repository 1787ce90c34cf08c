package snap

import (
	"weftplot/paths"
	"weftplot/paths/near"
)

// joint is how near two ends lie that are meant as one, in mm: far above the
// rounding of any file's numbers, far below anything a pen can show.
const joint = 1e-6

// vertices are the ends of curves, each place once.
type vertices struct {
	at []paths.Point // the first end met at each vertex
}

// web is a set of strokes with their ends numbered. Ends that are the same on
// paper, within joint of one another by steps ([near.Clusters]), are one vertex.
type web struct {
	strokes []paths.Stroke
	ends    [][][2]int // stroke, curve: the vertices of its start and end
	*vertices
}

func newWeb(strokes []paths.Stroke) *web {
	var ends []paths.Point
	for _, s := range strokes {
		for _, c := range s {
			ends = append(ends, c.Start(), c.End())
		}
	}
	number, count := near.Clusters(ends, joint)
	w := &web{strokes, make([][][2]int, len(strokes)), &vertices{make([]paths.Point, 0, count)}}
	for k, n := range number {
		if n == len(w.at) {
			w.at = append(w.at, ends[k])
		}
	}
	for i, s := range strokes {
		w.ends[i] = make([][2]int, len(s))
		for j := range s {
			w.ends[i][j] = [2]int{number[0], number[1]}
			number = number[2:]
		}
	}
	return w
}

// isClosed reports whether stroke i comes back to where it starts.
func (w *web) isClosed(i int) bool {
	e := w.ends[i]
	return len(e) > 1 && e[0][0] == e[len(e)-1][1]
}
