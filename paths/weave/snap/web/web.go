package web

import (
	"weftplot/paths"
	"weftplot/paths/near"
)

// Joint is how near two ends lie that are meant as one, in mm: far above the
// rounding of any file's numbers, far below anything a pen can show.
const Joint = 1e-6

// Web is a set of strokes with their ends numbered. Ends that are the same on
// paper, within [Joint] of one another by steps ([near.Clusters]), are one vertex.
type Web struct {
	Strokes []paths.Stroke
	Ends    [][][2]int // stroke, curve: the vertices of its start and end
	// Vertices are the ends of curves, each place once: the first end met there.
	Vertices []paths.Point
}

// New numbers the ends of strokes.
func New(strokes []paths.Stroke) *Web {
	var ends []paths.Point
	for _, s := range strokes {
		for _, c := range s {
			ends = append(ends, c.Start(), c.End())
		}
	}
	number, count := near.Clusters(ends, Joint)
	w := &Web{strokes, make([][][2]int, len(strokes)), make([]paths.Point, 0, count)}
	for k, n := range number {
		if n == len(w.Vertices) {
			w.Vertices = append(w.Vertices, ends[k])
		}
	}
	for i, s := range strokes {
		w.Ends[i] = make([][2]int, len(s))
		for j := range s {
			w.Ends[i][j] = [2]int{number[0], number[1]}
			number = number[2:]
		}
	}
	return w
}

// IsClosed reports whether stroke i comes back to where it starts.
func (w *Web) IsClosed(i int) bool {
	e := w.Ends[i]
	return len(e) > 1 && e[0][0] == e[len(e)-1][1]
}
