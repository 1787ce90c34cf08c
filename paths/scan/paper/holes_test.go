package paper_test

import (
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/paper"
)

// TestHoles punches sheets of A4: two holes of 6 mm, 80 mm apart and 12 mm from the edge
// (ISO 838:1974), four of them, and three of a North American binder (common practice).
func TestHoles(t *testing.T) {
	ring := func(x, y, wide float64) paths.Stroke {
		return paths.Stroke{paths.Circle(paths.Point{X: x, Y: y}, wide/2)}
	}
	for _, c := range []struct {
		name    string
		strokes []paths.Stroke
		want    []int
	}{
		{"two at the left", []paths.Stroke{ring(12.3, 108.2, 6), ring(100, 100, 6), ring(11.6, 188.4, 5.8)}, []int{0, 2}},
		{"at the upper side", []paths.Stroke{ring(65, 285, 6), ring(145, 285.4, 6)}, []int{0, 1}},
		{"four", []paths.Stroke{ring(198, 28, 6), ring(198, 108, 6), ring(198, 188, 6), ring(198, 268, 6)}, []int{0, 1, 2, 3}},
		{"a binder's three", []paths.Stroke{ring(12.7, 40, 7.1), ring(12.7, 148, 7.1), ring(12.7, 256, 7.1)}, []int{0, 1, 2}},
		{"only one", []paths.Stroke{ring(12, 108, 6)}, nil},
		{"drawn beads", []paths.Stroke{ring(12, 108, 6), ring(12, 120, 6), ring(12, 132, 6)}, nil},
		{"in the middle", []paths.Stroke{ring(60, 108, 6), ring(60, 188, 6)}, nil},
		{"coasters", []paths.Stroke{ring(12, 108, 14), ring(12, 188, 14)}, nil},
		{"boxes", []paths.Stroke{box(12, 108), box(12, 188)}, nil},
		{"nothing", []paths.Stroke{nil, paths.Polyline(paths.Point{X: 12, Y: 108})}, nil},
	} {
		if got := paper.Holes(c.strokes, 210, 297); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func box(x, y float64) paths.Stroke {
	at := func(dx, dy float64) paths.Point { return paths.Point{X: x + dx, Y: y + dy} }
	return paths.Polyline(at(-3, -3), at(3, -3), at(3, 3), at(-3, 3), at(-3, -3))
}
