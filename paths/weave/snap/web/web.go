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
	// Vertices are the ends of curves, each place once: the first end met there.
	Vertices []paths.Point
	// Each curve starts where the one before it ends, so a stroke takes one place more
	// than it has curves.
	first []int32 // by stroke, and one more: how many curves come before it
	verts []int32 // the vertices that strokes come by; those of stroke i from first[i]+i on
}

// New numbers the ends of strokes. In each stroke a curve starts exactly where the one
// before it ends ([paths.Stroke.Validate]).
func New(strokes []paths.Stroke) *Web {
	w := &Web{Strokes: strokes, first: make([]int32, len(strokes)+1)}
	for i, s := range strokes {
		w.first[i+1] = w.first[i] + int32(len(s))
	}
	ends := make([]paths.Point, 0, w.Curves()+len(strokes))
	for _, s := range strokes {
		for j, c := range s {
			if j == 0 {
				ends = append(ends, c.Start())
			}
			ends = append(ends, c.End())
		}
	}
	number, count := near.Clusters(ends, Joint)
	w.Vertices = make([]paths.Point, 0, count)
	for k, n := range number {
		if n == len(w.Vertices) {
			w.Vertices = append(w.Vertices, ends[k])
		}
	}
	w.verts = make([]int32, w.Curves()+len(strokes))
	for i, s := range strokes {
		if len(s) == 0 {
			continue
		}
		for j := range len(s) + 1 {
			w.verts[w.First(i)+i+j] = int32(number[j])
		}
		number = number[len(s)+1:]
	}
	return w
}

// Curves returns how many curves all strokes have.
func (w *Web) Curves() int { return int(w.first[len(w.Strokes)]) }

// First returns the number of the first curve of stroke i, when the curves of all strokes
// are numbered one after the other.
func (w *Web) First(i int) int { return int(w.first[i]) }

// Path returns the vertices that stroke i comes by, one more than it has curves, nil for a
// stroke without curves. The caller must not change it.
func (w *Web) Path(i int) []int32 {
	if len(w.Strokes[i]) == 0 {
		return nil
	}
	return w.verts[w.First(i)+i : w.First(i+1)+i+1]
}

// Ends returns the vertices of the start and the end of curve j of stroke i.
func (w *Web) Ends(i, j int) [2]int {
	k := w.First(i) + i + j
	return [2]int{int(w.verts[k]), int(w.verts[k+1])}
}

// ComesBack reports whether stroke i ends at the vertex that it starts at.
func (w *Web) ComesBack(i int) bool {
	path := w.Path(i)
	return len(path) > 0 && path[0] == path[len(path)-1]
}

// IsClosed reports whether stroke i comes back to where it starts, by more than one curve.
func (w *Web) IsClosed(i int) bool { return len(w.Strokes[i]) > 1 && w.ComesBack(i) }
