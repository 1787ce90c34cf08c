package near

import (
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// Which curves come into a box, against 500 points of each: none that has a point
// there is missed, and none is taken that passes by at a quarter of the box's breadth.
func TestComesIntoAgainstPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := someCurve(t)
		middle := pt(rapid.Float64Range(-60, 60).Draw(t, "x"), rapid.Float64Range(-60, 60).Draw(t, "y"))
		if rapid.Bool().Draw(t, "near") {
			middle = c.At(rapid.Float64Range(0, 1).Draw(t, "at")).Add(middle.Mul(0.05))
		}
		half := rapid.SampledFrom([]float64{0.01, 0.3, 5, 40}).Draw(t, "half")
		box := paths.RectOf(middle).Grow(half)
		const n = 500
		inside, beside := false, false
		for k := range n + 1 {
			p := c.At(float64(k) / n)
			inside = inside || box.Contains(p)
			beside = beside || box.Grow(half/2+c.Length()/n*4).Contains(p)
		}
		switch got := ComesInto(c, box.Grow(1e-9)); {
		case inside && !got:
			t.Fatalf("%v has a point in %v", c, box)
		case got && !beside:
			t.Fatalf("%v is not near %v", c, box)
		}
	})
}
