package join

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

// played returns whether work on n things is refused, and how many of the looks were used by
// then. What a thing takes when those before it are done is takes(i, i); what it takes at
// least when fewer are done, takes(i, done).
func played(t *testing.T, n int, takes func(i, done int) int) (refused bool, used float64) {
	t.Helper()
	w := newWork(nil)
	f := newForecast(w)
	for i := range n {
		err := f.check(i, n, func(k int) int {
			if k < i || k >= n {
				t.Fatalf("thing %d of %d is asked about after %d", k, n, i)
			}
			return takes(k, i)
		})
		if err == nil {
			err = w.do(takes(i, i))
		}
		if err != nil {
			return true, float64(mostLooks-w.left) / mostLooks
		}
	}
	return false, float64(mostLooks-w.left) / mostLooks
}

// Work that the bound leaves room for is done, wherever in it the dear things are; what is
// far beyond it is refused within a quarter of the looks. That between is refused at the
// bound at the latest. How much work there is follows from the definition, by adding up.
func TestForecast(t *testing.T) {
	const n = 20_000
	r := rand.New(rand.NewPCG(17, 18))
	chance := make([]float64, n)
	for i := range chance {
		chance[i] = r.Float64()
	}
	for _, c := range []struct {
		name  string
		early float64 // the work, in bounds, from which it is refused within a quarter
		takes func(i, done int) float64
	}{
		{"all alike", 1.05, func(_, _ int) float64 { return 1 }},
		{"a heap: each is held against all before", 2, func(_, done int) float64 { return float64(done) }},
		{"dear at first", math.Inf(1), func(i, _ int) float64 { return max(0, 1-8*float64(i)/n) }},
		{"dear at last", math.Inf(1), func(i, _ int) float64 { return max(0, 8*float64(i)/n-7) }},
		{"every thousandth is dear", math.Inf(1), func(i, _ int) float64 { return float64((i%1000 + 1) / 1000) }},
		{"dear by chance", 1.3, func(i, _ int) float64 { return chance[i] }},
		{"few dear by chance", math.Inf(1), func(i, _ int) float64 { return math.Pow(chance[i], 200) }},
		{"a tenth lies in a heap", math.Inf(1), func(i, done int) float64 { return math.Floor(chance[i]+0.1) * float64(done) }},
	} {
		sum := 0.
		for i := range n {
			sum += c.takes(i, i)
		}
		for _, of := range []float64{0.3, 0.9, 0.99, 1.01, 1.05, 1.1, 1.3, 1.7, 2, 4, 30} {
			scale, total := of*mostLooks/sum, 0
			takes := func(i, done int) int { return int(scale * c.takes(i, done)) }
			for i := range n {
				total += takes(i, i)
			}
			refused, used := played(t, n, takes)
			if refused != (total > mostLooks) {
				t.Errorf("%s: %.3f of the bound, refused: %v after %.2f", c.name, float64(total)/mostLooks, refused, used)
			}
			if of >= c.early && used > 0.25 {
				t.Errorf("%s: %.3f of the bound is refused after %.2f of it", c.name, float64(total)/mostLooks, used)
			}
		}
	}
}

// What a piece is said to take at least it does take, whatever is done before it comes, and
// asking changes nothing: as many looks are used as without.
func TestLeastIsNoMoreThanIsTaken(t *testing.T) {
	const tol = 0.05
	r := rand.New(rand.NewPCG(19, 20))
	circles := func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i := range out {
			out[i] = paths.Stroke{paths.ArcAround(pt(0.2*r.Float64(), 0.2*r.Float64()), 50, 6*r.Float64(), 2+4*r.Float64())}
		}
		return out
	}
	aslant := func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i := range out {
			out[i] = line(100*r.Float64(), 0.5*r.Float64(), 200+100*r.Float64(), 0.5*r.Float64())
		}
		return out
	}
	for name, strokes := range map[string][]paths.Stroke{
		"circles": circles(400), "lines aslant": aslant(500), "along one line": jittered(400), "curves": shaken(300, 0.1),
	} {
		t.Run(name, func(t *testing.T) {
			all, _ := explode(strokes, make([]bool, len(strokes)), tol)
			var parts []part // as they come: the longest first
			for _, k := range byLength(all) {
				parts = append(parts, all[k])
			}
			owner := make([]int, len(parts))
			for i := range owner {
				owner[i] = i
			}
			plain, asked := newDoubles(parts, owner, tol), newDoubles(parts, owner, tol)
			least, known := make([]int, len(parts)), 0
			w, v := newWork(nil), newWork(nil)
			for i := range parts {
				if i%20 == 0 {
					for k := i; k < len(parts); k++ {
						least[k] = max(least[k], asked.least(k, i))
					}
				}
				before := w.left
				if asked.take(i, w) != nil || plain.take(i, v) != nil {
					t.Fatal("too many looks")
				}
				if took := before - w.left; took < least[i] {
					t.Fatalf("piece %d takes %d looks, at least %d were said", i, took, least[i])
				}
				known += least[i]
			}
			if w.left != v.left || asked.crowds.counted() != plain.crowds.counted() {
				t.Errorf("%d looks are left, %d without asking", w.left, v.left)
			}
			// Less where most are gone after a few looks.
			if took := mostLooks - w.left; 5*known < took {
				t.Errorf("only %d of %d looks were foretold", known, took)
			}
		})
	}
}
