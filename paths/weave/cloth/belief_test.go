package cloth

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// sampleBelief is the belief in 4 x 3 marks on a bowed cloth.
func sampleBelief(t *testing.T) (*belief, []Mark) {
	t.Helper()
	r := rand.New(rand.NewPCG(31, 32))
	marks := cloth{1.02, 0.98, 0.03, 0.02, 0.01, true}.marks(r, 0.4, 4, 3)
	b, err := believe(marks, monks, FitOptions{Expect: monksCount, Extent: rugSize})
	if err != nil {
		t.Fatal(err)
	}
	return b, marks
}

// The evidence is the density of what was read, as gonum's multivariate normal
// gives it from the whole covariance.
func TestEvidence(t *testing.T) {
	b, _ := sampleBelief(t)
	n, m := b.rows.Dims()
	for way := range 2 {
		for _, at := range [][2]int{{0, 0}, {3, 20}, {6, 47}} {
			cov := mat.NewSymDense(n, nil)
			for i := range n {
				for j := i; j < n; j++ {
					v := 0.
					for k := range m {
						s := b.sizes[way][at[1]][k]
						v += b.rows.At(i, k) * b.rows.At(j, k) * s * s
					}
					cov.SetSym(i, j, v)
				}
				cov.SetSym(i, i, cov.At(i, i)+math.Pow(b.noises[at[0]].value, 2))
			}
			d, ok := distmv.NewNormal(make([]float64, n), cov, nil)
			if !ok {
				t.Fatal("the covariance is not positive")
			}
			got, want := b.given[way][at[0]][at[1]].evidence, d.LogProb(b.read[way])
			if math.Abs(got-want) > 1e-4*math.Abs(want) {
				t.Errorf("way %d, noise and kind %v: evidence %.6f, want %.6f", way, at, got, want)
			}
		}
	}
}

// A deleted residual is what leaving the mark out gives.
func TestBeliefDeleted(t *testing.T) {
	b, _ := sampleBelief(t)
	for i := range b.read[0] {
		for _, at := range [][2]int{{1, 10}, {3, 40}} {
			left := wrong{mark: i, slip: slip{spread: 12}}
			_, mean := b.shapesOf(at[0], at[1], 1, left)
			want := b.read[1][i] - dot(b.rows.RawRowView(i), mean)
			if got := b.given[1][at[0]][at[1]].deleted[i]; math.Abs(got-want) > 1e-4 {
				t.Errorf("mark %d is off by %.6f when left out, want %.6f", i+1, got, want)
			}
		}
	}
}

// Cloths drawn from a belief have its mean, and its spread shrinks at the marks.
func TestDrawn(t *testing.T) {
	b, marks := sampleBelief(t)
	mean := b.mean()
	e := &errorField{b, b.draw(), b.sheet.bent(mean[0], mean[1])}
	var sum paths.Point
	at := b.sheet.values(weave.Place{Across: 100, Along: 200})
	for _, d := range e.drawn {
		sum = sum.Add(paths.Point{X: dot(at, d[0]), Y: dot(at, d[1])}.Mul(1. / draws))
	}
	if want := (paths.Point{X: dot(at, mean[0]), Y: dot(at, mean[1])}); sum.Dist(want) > 0.1 {
		t.Errorf("cloths drawn have the mean %v, want %v", sum, want)
	}
	near, far := e.expect([]weave.Place{marks[4].Place}).Greatest, e.expect([]weave.Place{place(rugSize.Across*1.2, rugSize.Along*1.2)}).Greatest
	if near >= far/2 {
		t.Errorf("the error is %.2f channels at a mark and %.2f far from all", near, far)
	}
}

// With equal marks at four corners the greatest variance of an affine fit is 3/4
// of a mark's: p/n, Kiefer and Wolfowitz 1960.
func TestVarianceOfCorners(t *testing.T) {
	g := weave.Grid{Across: 1, Along: 1}
	corners := []weave.Place{{}, place(100, 0), place(100, 100), place(0, 100)}
	p, err := NewPlan(g, Prior{Bow: 1e-9, Lean: 50, Count: 50, Noise: 0.01}, corners, corners)
	if err != nil {
		t.Fatal(err)
	}
	s := p.fresh()[0]
	for c := range corners {
		s.read(c)
	}
	for i := range corners {
		if v := s.variance(i, -1) / 2 / 1e-4; math.Abs(v-0.75) > 1e-3 {
			t.Errorf("corner %d: variance %.4f of a mark's, want 0.75", i+1, v)
		}
	}
}
