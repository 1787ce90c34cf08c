package web

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// The lines of bundles that pass a point are found as by looking at all, each once.
func TestBundlesAgainstLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := unit(rapid.OneOf(rapid.Float64Range(-4, 4), rapid.SampledFrom([]float64{0, math.Pi / 2})).Draw(t, "angle"))
		from := pt(rapid.Float64Range(0, 300).Draw(t, "x"), rapid.Float64Range(0, 300).Draw(t, "y"))
		wide := rapid.SampledFrom([]float64{0, 1e-6, 1e-4, 0.04, 2}).Draw(t, "width")
		aside := rapid.Map(rapid.IntRange(0, 20), func(k int) float64 { return wide * float64(k) / 20 })
		along := rapid.OneOf(rapid.Float64Range(0, 200), rapid.SampledFrom([]float64{0, 100, 200}))
		end := func() paths.Point {
			return from.Add(u.Mul(along.Draw(t, "along"))).Add(u.Left().Mul(aside.Draw(t, "aside")))
		}
		var lines []paths.Line
		var points []paths.Point
		for range rapid.IntRange(1, 60).Draw(t, "lines") {
			l := paths.Line{A: end(), B: end()}
			lines = append(lines, l)
			points = append(points, l.A, l.B, l.At(rapid.Float64Range(0, 1).Draw(t, "share")))
		}
		bundles, others := Bundles(lines, rapid.IntRange(1, 20).Draw(t, "least"))
		found := make([][]int, len(points))
		VisitBundles(bundles, points, func(k, i int) { found[k] = append(found[k], i) })
		for k, p := range points {
			slices.Sort(found[k])
			for i, l := range lines {
				n := 0
				for _, j := range found[k] {
					if j == i {
						n++
					}
				}
				if n > 1 {
					t.Fatalf("line %d is found %d times at %v", i, n, p)
				}
				switch far := l.Dist(p); {
				case n == 1 && far > 4*Joint:
					t.Fatalf("line %d is found %g mm from %v", i, far, p)
				case n == 0 && far <= Joint && !slices.Contains(others, i):
					t.Fatalf("line %d passes %v %g mm off, and is not found", i, p, far)
				case n == 1 && slices.Contains(others, i):
					t.Fatalf("line %d is in no bundle, and is found", i)
				}
			}
		}
	})
}

// In a bundle a point looks at few lines, about as the square root of how many there are.
func TestBundlesLookAtFew(t *testing.T) {
	looks := map[int]int{}
	for _, n := range []int{1000, 4000, 16000} {
		var lines []paths.Line
		var points []paths.Point
		for i := range n {
			f := func(k float64) float64 { _, r := math.Modf(float64(i+1) * k * math.Phi * 1e3); return r }
			l := paths.Line{A: pt(120*f(1), 0.04*f(3)), B: pt(140+120*f(7), 0.04*f(11))}
			lines, points = append(lines, l), append(points, l.A, l.B)
		}
		bundles, others := Bundles(lines, 64)
		if len(others) > 64*8 {
			t.Errorf("%d of %d lines are in no bundle", len(others), n)
		}
		VisitBundles(bundles, points, func(int, int) {})
		for _, b := range bundles {
			looks[n] += b.looks
		}
	}
	for n, most := 1000, 300; n <= 16000; n, most = 4*n, 2*most {
		if got := looks[n] / (2 * n); got == 0 || got > most {
			t.Errorf("%d looks a point of %d lines, at most %d are expected", got, n, most)
		}
	}
}
