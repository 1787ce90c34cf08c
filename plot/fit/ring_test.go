package fit

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// What a ring surely holds lies in it by the distances of the line's points.
func TestRingHolds(t *testing.T) {
	held := 0
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.1, 100).Draw(t, "r")
		tol := rapid.Float64Range(0.001, 0.5).Draw(t, "tol")
		near := func(name string) paths.Point {
			far := r + rapid.Float64Range(-1.2, 1.2).Draw(t, name+" off")*tol
			sin, cos := math.Sincos(rapid.Float64Range(0, 0.2).Draw(t, name+" at"))
			return paths.Point{X: far * cos, Y: far * sin}
		}
		a, b := near("a"), near("b")
		if !newRing(r, tol).surelyHolds(a, b) {
			return
		}
		held++
		for k := range 101 {
			d := a.Lerp(b, float64(k)/100).Len()
			if d < r-tol || k == 100 && d > r+tol {
				t.Fatalf("at %d of 100 the line is %g mm from the middle of a ring of %g and %g mm", k, d, r, tol)
			}
		}
	})
	if held == 0 {
		t.Fatal("no line was held")
	}
}
