package cloth

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// Ordered takes marks as Choose does: each is the best of those that are left, so the error
// falls about as early as it can; none is lost.
func TestOrdered(t *testing.T) {
	e := place(200, 300)
	p, err := NewPlan(monks, Prior{Noise: 0.2}, gridOf(5, 5, e), gridOf(6, 6, e))
	if err != nil {
		t.Fatal(err)
	}
	indices := rand.New(rand.NewPCG(2, 3)).Perm(36)[:10]
	got := p.Ordered(indices)
	a, b := slices.Sorted(slices.Values(indices)), slices.Sorted(slices.Values(got.Indices))
	if !slices.Equal(a, b) || len(got.After) != 10 {
		t.Fatalf("%v is ordered as %v", indices, got.Indices)
	}
	for k := range got.Indices {
		if x := p.Expect(got.Indices[:k+1]); x != got.After[k] {
			t.Errorf("after %d marks %v is said, and %v to be expected", k+1, got.After[k], x)
		}
		s := p.after(got.Indices[:k])
		for _, c := range got.Indices[k+1:] {
			if k >= 2 && p.lined(append(slices.Clone(got.Indices[:k]), c)) {
				continue // no map would follow
			}
			if norm(s, c) < norm(s, got.Indices[k])*(1-1e-9) {
				t.Errorf("mark %d would help more as number %d", c, k+1)
			}
		}
	}
}

// Exchanged marks are no more, and within the bound where those given were; marks taken
// anyhow become much better.
func TestExchanged(t *testing.T) {
	e := place(200, 300)
	p, err := NewPlan(monks, Prior{Noise: 0.2}, gridOf(5, 2, e), gridOf(8, 8, e))
	if err != nil {
		t.Fatal(err)
	}
	bound := Bound{Greatest: 0.5}
	chosen := p.Choose(bound, 30)
	fewer := p.Exchanged(chosen.Indices, bound)
	if !chosen.Enough || !fewer.Enough || len(fewer.Indices) > len(chosen.Indices) || p.Expect(fewer.Indices).Greatest > bound.Greatest {
		t.Errorf("%d marks become %d, an error of %v", len(chosen.Indices), len(fewer.Indices), p.Expect(fewer.Indices))
	}
	anyhow := rand.New(rand.NewPCG(4, 5)).Perm(64)[:12]
	better := p.Exchanged(anyhow, Bound{Greatest: 0.01})
	if x, y := p.Expect(anyhow), p.Expect(better.Indices); better.Enough || y.Usual > 0.8*x.Usual {
		t.Errorf("an error of %v becomes %v", x, y)
	}
}
