package fit

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// TestBows: an arc whose height is well among the bows keeps the tolerance, and one whose
// height is well beyond them does not, as the distance of each point from its circle says.
func TestBows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 60).Draw(t, "points")
		a := paths.ArcAround(paths.Point{X: 50, Y: 60}, rapid.Float64Range(2, 80).Draw(t, "radius"), 1, rapid.Float64Range(0.1, widest).Draw(t, "sweep"))
		tol := 0.002 * a.Radius()
		wave := rapid.Float64Range(-0.8, 0.8).Draw(t, "wave") * tol
		pts := make([]paths.Point, n+1)
		for i := range pts {
			p := a.At(float64(i) / float64(n))
			pts[i] = p.Add(p.Sub(a.Centre).Unit().Mul(wave * math.Sin(2*math.Pi*float64(i)/float64(n))))
		}
		w, ok := bowsOver(pts[0], pts[n], pts[1:n], tol)
		if !ok {
			t.Fatalf("no arc is within %v of points that are within %v of one", tol, wave)
		}
		half := pts[0].Dist(pts[n]) / 2
		strays := func(height float64) (most float64) {
			arc, ok := paths.BulgedArc(pts[0], pts[n], -height/half)
			if !ok {
				return math.Inf(1)
			}
			for _, p := range pts {
				most = max(most, math.Abs(p.Dist(arc.Centre)-arc.Radius()))
			}
			return most
		}
		room := 0.2 * tol
		if by := strays((w.low + w.high) / 2); by > tol+room/2 {
			t.Errorf("the middle of %v strays by %v, over %v", w, by, tol)
		}
		for _, beyond := range []float64{w.low - 2*tol, w.high + 2*tol} {
			if by := strays(beyond); n > 3 && by < tol-room {
				t.Errorf("%v is not among %v, and strays by %v only, under %v", beyond, w, by, tol)
			}
		}
	})
}

// TestRadiusAmongBows: the radius with the fewest decimals gives an arc among the bows, and
// none with fewer does.
func TestRadiusAmongBows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		half := rapid.Float64Range(0.3, 5).Draw(t, "half")
		low := half * rapid.Float64Range(0.1, 0.5).Draw(t, "height")
		w := bows{low, low + rapid.Float64Range(0, 0.1).Draw(t, "room")}
		if rapid.Bool().Draw(t, "right") {
			w.low, w.high = -w.high, -w.low
		}
		a, b := paths.Point{}, paths.Point{X: 2 * half}
		for _, step := range steps[:3] {
			r, ok := w.radius(half, step)
			if ok {
				arc, ok := w.ofRadius(a, b, r)
				height := -math.Tan(arc.Sweep/4) * half
				if !ok || height < w.low-1e-9 || height > w.high+1e-9 || math.Abs(math.Remainder(r*1000, step)) > 1e-6 {
					t.Errorf("a radius of %v is as high as %v, of %v, in steps of %v", r, height, w, step)
				}
				continue
			}
			for n := math.Ceil(half * 1000 / step); n < 30000/step; n++ { // by trying all
				r := n * step / 1000
				arc, ok := w.ofRadius(a, b, r)
				height := -math.Tan(arc.Sweep/4) * half
				if ok && math.Abs(arc.Sweep) < widest-1e-9 && height > w.low+1e-9 && height < w.high-1e-9 {
					t.Errorf("%v is a radius for %v over %v in steps of %v, and none was found", r, w, 2*half, step)
				}
			}
		}
	})
}
