package warp

import (
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// A short curve that is not measured comes out as if it were: of so many places that its
// image is compared at, the length says no other number.
func TestStepsOfAgainstTheLength(t *testing.T) {
	short := 0
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string) paths.Point {
			return paths.Point{X: rapid.Float64Range(-9, 9).Draw(t, name+".x"), Y: rapid.Float64Range(-9, 9).Draw(t, name+".y")}
		}
		c := paths.Curve(paths.Cubic{A: at("a"), B: at("b"), C: at("c"), D: at("d")})
		if rapid.Bool().Draw(t, "arc") {
			c = paths.ArcBulge(at("a"), at("b"), rapid.Float64Range(-8, 8).Draw(t, "bulge"))
		}
		step := c.Length() / rapid.Float64Range(0.5, 12).Draw(t, "steps")
		if !(step > 0) {
			t.Skip("a curve without length")
		}
		measured, told := warper{steps: c.Length() / step}, warper{steps: stepsOf(c, step)}
		if measured.steps != told.steps {
			short++
		}
		for _, d := range []float64{1, 0.5, 0.25} {
			if got, want := told.inside(joint{t: 0}, joint{t: d}), measured.inside(joint{t: 0}, joint{t: d}); got != want {
				t.Fatalf("%v is compared at %d places, by its length at %d", c, got, want)
			}
		}
	})
	if short == 0 {
		t.Fatal("all curves were measured")
	}
}
