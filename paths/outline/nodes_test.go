package outline

import (
	"testing"

	"weftplot/paths"
)

// Places within the tolerance by steps are one node, whichever is found first:
// two that lie in one square cell and yet too far apart do not hide one another.
func TestNodesInAnyOrder(t *testing.T) {
	a, b, c := pt(0.1, 0.1), pt(0.95, 0.95), pt(0.2, 0.2)
	for _, tt := range []struct {
		found []paths.Point
		want  int
	}{
		{[]paths.Point{a, b}, 2},
		{[]paths.Point{a, b, pt(-0.1, 0)}, 2},
		{[]paths.Point{a, c, b}, 2},
		{[]paths.Point{a, b, pt(0.5, 0.5)}, 1},
		{[]paths.Point{pt(0.5, 0.5), b, a}, 1},
	} {
		p := &plane{tol: 1}
		for _, at := range tt.found {
			p.place(at, false)
		}
		p.numberNodes()
		if len(p.nodes) != tt.want || p.nodes[0] != tt.found[0] {
			t.Errorf("%v: nodes %v, want %d", tt.found, p.nodes, tt.want)
		}
	}
}
