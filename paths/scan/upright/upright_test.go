package upright

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// TestSquareKeepsJoints: squaring a line moves the strokes that end on it.
func TestSquareKeepsJoints(t *testing.T) {
	strokes := []paths.Stroke{
		paths.Polyline(pt(0, 0), pt(50, 0.4)),
		paths.Polyline(pt(40, 0.32), pt(40, 20)),
		{paths.Cubic{A: pt(10, 0.08), B: pt(10, 5), C: pt(15, 5), D: pt(20, 9)}},
	}
	Square(strokes)
	if l := strokes[0][0].(paths.Line); l.A.Y != l.B.Y {
		t.Errorf("the level line is %v", l)
	}
	for i, s := range strokes[1:] {
		if _, d := near.On(strokes[0][0], s.Start()); d > 1e-4 {
			t.Errorf("stroke %d begins %v mm off the line it began on", i+2, d)
		}
	}
}
