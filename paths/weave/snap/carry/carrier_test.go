package carry

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"

	_ "weftplot/paths/samecases"
)

// randomLines draws lines in order, strictly apart where they go, some leaning.
func randomLines(t *rapid.T) []Guide {
	var out []Guide
	x, k := 0.0, 0
	for range rapid.IntRange(1, 7).Draw(t, "lines") {
		gap := rapid.Float64Range(1.2, 60).Draw(t, "gap")
		x += gap
		k = max(k+1, int(math.Round(x/2))+rapid.IntRange(-2, 2).Draw(t, "moved"))
		lean := rapid.Float64Range(-0.4, 0.4).Draw(t, "lean")
		lo := rapid.Float64Range(0, 60).Draw(t, "lo")
		hi := lo + rapid.Float64Range(6, 60).Draw(t, "length")
		out = append(out, Guide{At: []Knot{{x - lean, lo}, {x + lean, hi}}, Mean: x, To: 2 * float64(k)})
	}
	return out
}

// Where a coordinate lies among the guides of a border, against a search of them all.
func TestAfterAgainstAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := randomLines(t)
		b := border{}
		lean := rapid.Float64Range(-5, 5).Draw(t, "common lean") // their bounds overlap, and they do not cross
		for i := range lines {
			l := &lines[i]
			l.At = []Knot{{l.Mean - lean, 0}, {l.Mean + lean, 100}}
			b.guides = append(b.guides, &lines[i])
		}
		b.bound()
		v := rapid.Float64Range(-30, 150).Draw(t, "v")
		for _, l := range lines {
			for _, u := range []float64{l.fixedAt(v), l.Mean, l.At[0].Fixed, l.At[1].Fixed + 0.1, l.Mean - 0.5} {
				want := 0
				for want < len(lines) && lines[want].fixedAt(v) <= u {
					want++
				}
				if got := b.after(u, v); got != want {
					t.Fatalf("at %g, %g the first guide above is %d, want %d", u, v, got, want)
				}
			}
		}
	})
}

func TestCarrierNeverTurnsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := randomLines(t)
		f := New(lines, 2, 2)
		v := rapid.Float64Range(-30, 150).Draw(t, "v")
		last := math.Inf(-1)
		for u := -60.; u < 500; u += 0.37 {
			y := f.At(u, v)
			if y < last-1e-9 {
				t.Fatalf("at %g the map turns back from %g to %g", u, last, y)
			}
			last = y
		}
		for _, l := range lines {
			if v >= l.At[0].Along && v <= l.At[1].Along {
				if got := f.At(l.fixedAt(v), v); math.Abs(got-l.To) > 1e-9 {
					t.Fatalf("the line at %g goes to %g, not %g", l.Mean, got, l.To)
				}
			}
		}
		for _, u := range []float64{-1000, 2000} {
			if f.At(u, v) != u {
				t.Fatalf("%g, far from every line, moved", u)
			}
		}
	})
}

// Nothing tears: what is near stays near, in whichever direction it lies.
func TestCarrierIsContinuous(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := randomLines(t)
		f := New(lines, 2, 2)
		u, v := rapid.Float64Range(-40, 300).Draw(t, "u"), rapid.Float64Range(-30, 150).Draw(t, "v")
		const h = 1e-6
		y := f.At(u, v)
		for _, d := range [][2]float64{{h, 0}, {-h, 0}, {0, h}, {0, -h}} {
			if z := f.At(u+d[0], v+d[1]); math.Abs(z-y) > 1000*h {
				t.Fatalf("from (%g, %g) to %v away is %g", u, v, d, z-y)
			}
		}
	})
}

// The slopes are Fritsch and Butland's, as a numerical library computes them.
func TestSlopesAgainstLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.Float64Range(0.01, 5)
		xs, ys := []float64{0}, []float64{0}
		for i := range 5 {
			xs = append(xs, xs[i]+step.Draw(t, "dx"))
			ys = append(ys, ys[i]+step.Draw(t, "dy"))
		}
		var fb interp.FritschButland
		if err := fb.Fit(xs, ys); err != nil {
			t.Fatal(err)
		}
		pass := func(i int) passing { return passing{x: xs[i], y: ys[i]} }
		for i := 1; i < 5; i++ {
			got, want := butland(pass(i-1), pass(i), pass(i+1)), fb.PredictDerivative(xs[i])
			if math.Abs(got-want) > 1e-9*(1+want) {
				t.Fatalf("slope at knot %d is %g, the library has %g", i, got, want)
			}
		}
		for i := 1; i < 4; i++ {
			x := (xs[i] + 2*xs[i+1]) / 3
			got := hermiteCubic(pass(i), butland(pass(i-1), pass(i), pass(i+1)), pass(i+1), butland(pass(i), pass(i+1), pass(i+2)), x)
			if want := fb.Predict(x); math.Abs(got-want) > 1e-9*(1+want) {
				t.Fatalf("value at %g is %g, the library has %g", x, got, want)
			}
		}
	})
}

// No point of the cloth moves much farther than the straight that moves most,
// however far the straights stand apart.
func TestCarrierMovesNothingFartherThanItsRuns(t *testing.T) {
	const across, along = 25.4 / 12, 25.4 / 13 // of rug monk's cloth, as sellers state it (common practice)
	rapid.Check(t, func(t *rapid.T) {
		var lines []Guide
		most := 0.0
		at := 0.0
		for range rapid.IntRange(1, 6).Draw(t, "runs") {
			at += rapid.SampledFrom([]float64{3, 10, 40, 200, 900}).Draw(t, "gap")
			by := rapid.Float64Range(-1, 1).Draw(t, "moved") * min(across, 1)
			lo := rapid.Float64Range(0, 500).Draw(t, "lo")
			hi := lo + rapid.Float64Range(10, 900).Draw(t, "length")
			lines = append(lines, Guide{At: []Knot{{at, lo}, {at, hi}}, Mean: at, To: at + by})
			most = max(most, math.Abs(by))
		}
		f := New(lines, across, along)
		for range 200 {
			u, v := rapid.Float64Range(-100, at+100).Draw(t, "u"), rapid.Float64Range(-50, 1500).Draw(t, "v")
			if d := math.Abs(f.At(u, v) - u); d > 2.5*most+1e-9 {
				t.Fatalf("(%g, %g) moves by %g, no run by more than %g", u, v, d, most)
			}
		}
	})
}

// Gaps that are worked out once give exactly what they give when worked out each time.
func TestGapsWorkedOutOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := randomLines(t)
		level := 0
		for i := range lines {
			if l := &lines[i]; rapid.IntRange(0, 3).Draw(t, "level") > 0 {
				l.At[0].Fixed, l.At[1].Fixed = l.Mean, l.Mean
				l.Part = rapid.IntRange(0, 2).Draw(t, "part")
				level++
			}
		}
		once, each := New(lines, 2, 2), New(lines, 2, 2)
		for i := range each.border {
			for j := range each.border[i].gaps {
				g := &each.border[i].gaps[j]
				if g.level {
					level = 0
				}
				g.level = false
			}
		}
		if level == len(lines) {
			t.Fatalf("of %d level lines no gap was worked out", level)
		}
		for range 50 {
			u, v := rapid.Float64Range(-60, 500).Draw(t, "u"), rapid.Float64Range(-30, 150).Draw(t, "v")
			if got, want := once.At(u, v), each.At(u, v); got != want {
				t.Fatalf("%g at %g goes to %v, want %v", u, v, got, want)
			}
		}
	})
}

// What is told of one border where two are alike is what both say, by the mean of the two.
func TestLikeBordersAgainstBoth(t *testing.T) {
	alike := 0
	rapid.Check(t, func(t *rapid.T) {
		f := New(randomLines(t), 2, 2)
		for range 50 {
			u, v := rapid.Float64Range(-60, 500).Draw(t, "u"), rapid.Float64Range(-30, 150).Draw(t, "v")
			row := math.Floor(v / f.row)
			share := v/f.row - row
			share = share * share * (3 - 2*share)
			below, above := f.borderAt(int(row)-f.base), f.borderAt(int(row)-f.base+1)
			j, k := below.after(u, v), above.after(u, v)
			a, b := below.at(f.fade, j, u, v), above.at(f.fade, k, u, v)
			if below.isLike(j, above, k) && len(below.guides) > 0 {
				alike++
			}
			want := a
			if a != b {
				want = a + (b-a)*share
			}
			if got := f.At(u, v); got != want {
				t.Fatalf("%g at %g goes to %v, both borders say %v", u, v, got, want)
			}
		}
	})
	if alike == 0 {
		t.Fatal("no borders were alike")
	}
}
