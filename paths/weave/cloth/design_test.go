package cloth

import (
	"errors"
	"math"
	"testing"

	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

func gridOf(nx, ny int, e weave.Place) (out []weave.Place) {
	for j := range ny {
		for i := range nx {
			out = append(out, place(math.Round(e.Across*float64(i)/float64(nx-1)), math.Round(e.Along*float64(j)/float64(ny-1))))
		}
	}
	return out
}

// From corners and centre an edge's middle comes first, then a neighbouring one,
// which shows the other bow: the I-optimal choice for a quadratic, worked out
// apart from this code.
func TestEdgesAfterCorners(t *testing.T) {
	e := place(200, 200)
	p, err := NewPlan(weave.Grid{Across: 2, Along: 2}, Prior{Noise: 0.2}, gridOf(9, 9, e), gridOf(3, 3, e))
	if err != nil {
		t.Fatal(err)
	}
	taken := []int{0, 2, 6, 8, 4}
	first, _, _ := p.Next(taken)
	second, _, _ := p.Next(append(taken, first))
	opposite := map[int]int{1: 7, 7: 1, 3: 5, 5: 3}
	if first%2 == 0 || second%2 == 0 || opposite[first] == second {
		t.Errorf("after corners and centre come candidates %d and %d", first, second)
	}
}

// The next mark is the one that an exhaustive look finds, and reading it has the
// variance that was foretold.
func TestNextIsBest(t *testing.T) {
	e := place(200, 300)
	p, err := NewPlan(monks, Prior{Noise: 0.2}, gridOf(5, 5, e), gridOf(4, 4, e))
	if err != nil {
		t.Fatal(err)
	}
	taken := []int{0, 3, 15}
	got, then, ok := p.Next(taken)
	if !ok {
		t.Fatal("there is no next mark")
	}
	least, want := math.Inf(1), -1
	for c := range p.candidates {
		s := p.fresh()
		for _, sp := range s {
			for _, i := range append([]int{c}, taken...) {
				sp.read(i)
			}
		}
		if v := norm(s, -1); v < least {
			least, want = v, c
		}
	}
	if got != want {
		t.Errorf("candidate %d is next, and %d is best", got, want)
	}
	if e := p.Expect(append(taken, got)); math.Abs(e.Greatest-then.Greatest) > 0.02*then.Greatest {
		t.Errorf("%+v is foretold, and %+v comes", then, e)
	}
}

// A joint of two loads: about a dozen marks with 0.2 mm of noise on cloth that
// bows, most of them near the joint, fewer on calm cloth; each brings the error
// down; none of them can be spared.
func TestChoose(t *testing.T) {
	e := place(280, 300)
	var joint []weave.Place
	for i := range 15 {
		joint = append(joint, place(float64(20*i), 300))
	}
	sizes := map[float64]int{}
	for _, bow := range []float64{0.002, 0.03} {
		p, err := NewPlan(monks, Prior{Bow: bow, Lean: 0.02, Count: 0.01, Noise: 0.2}, joint, gridOf(9, 7, e))
		if err != nil {
			t.Fatal(err)
		}
		bound := Bound{Greatest: 0.3, Usual: 0.2}
		c := p.Choose(bound, 30)
		t.Logf("bow %g: %d marks %v, then %.3f", bow, len(c.Indices), c.Indices, c.After)
		if !c.Enough || !bound.holds(c.After[len(c.After)-1]) {
			t.Errorf("bow %g: %+v is not within %+v", bow, c, bound)
		}
		if p.lined(c.Indices) {
			t.Errorf("bow %g: the marks lie on one line", bow)
		}
		near := 0
		for _, i := range c.Indices {
			if p.candidates[i].Along >= 200 {
				near++
			}
		}
		if near*2 < len(c.Indices) {
			t.Errorf("bow %g: %d of %d marks are near the joint", bow, near, len(c.Indices))
		}
		for i := range c.Indices {
			fewer := append(append([]int(nil), c.Indices[:i]...), c.Indices[i+1:]...)
			if bound.holds(p.Expect(fewer)) && !p.lined(fewer) {
				t.Errorf("bow %g: mark %d is needless", bow, i+1)
			}
		}
		sizes[bow] = len(c.Indices)
		if i, within, ok := p.Check(c.Indices); !ok || within > 2 {
			t.Errorf("bow %g: candidate %d checks to %.2f channels, %v", bow, i, within, ok)
		}
	}
	if sizes[0.002] >= sizes[0.03] || sizes[0.03] > 16 {
		t.Errorf("marks by bow: %v", sizes)
	}
}

func TestPlanRefuses(t *testing.T) {
	two := []weave.Place{{}, place(100, 100)}
	for _, c := range []struct {
		name          string
		prior         Prior
		places, marks []weave.Place
	}{
		{"no noise", Prior{}, two, two},
		{"no places", Prior{Noise: 0.2}, nil, two},
		{"no marks", Prior{Noise: 0.2}, two, nil},
		{"not a number", Prior{Noise: math.NaN()}, two, two},
		{"negative bow", Prior{Noise: 0.2, Bow: -1}, two, two},
		{"one line", Prior{Noise: 0.2}, []weave.Place{{}}, []weave.Place{{}, place(10, 0)}},
		{"far", Prior{Noise: 0.2}, two, []weave.Place{{}, place(math.Inf(1), 0)}},
	} {
		var f *fault.Error
		if _, err := NewPlan(monks, c.prior, c.places, c.marks); !errors.As(err, &f) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
