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

// A chain with the ends of an arc that goes onward turns with the arc, as its angles say.
func TestOnward(t *testing.T) {
	onwards, backwards := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		const tol = 0.05
		arc := paths.ArcBulge(paths.Point{}, paths.Point{X: 1}, rapid.Float64Range(0.05, 2).Draw(t, "bulge")).(paths.Arc)
		if rapid.Bool().Draw(t, "clockwise") {
			arc.From, arc.To, arc.Sweep = arc.To, arc.From, -arc.Sweep
		}
		turns, n := rapid.IntRange(0, 1).Draw(t, "turns"), rapid.IntRange(4, 40).Draw(t, "points")
		pts := []paths.Point{arc.From}
		whole := arc.Sweep + math.Copysign(2*math.Pi*float64(turns), arc.Sweep)
		for i := 1; i < n; i++ {
			at := (float64(i) + rapid.Float64Range(-0.6, 0.6).Draw(t, "to and fro")) / float64(n)
			pts = append(pts, paths.ArcAround(arc.Centre, arc.Radius(), arc.From.Sub(arc.Centre).Angle()+whole*at, 0).From)
		}
		pts = append(pts, arc.To)
		if !onward(arc, pts) {
			backwards++
			return
		}
		onwards++
		if !turnsWith(arc, pts, tol) {
			t.Fatalf("%v goes onward along %v, and does not turn with it", pts, arc)
		}
	})
	if onwards == 0 || backwards == 0 {
		t.Fatalf("%d chains went onward, %d did not", onwards, backwards)
	}
}
