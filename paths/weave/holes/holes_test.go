package holes

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// Of all places of a figure none keeps its lines and moves less, by trying them all.
func TestPlaceIsNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(71, 72))
	for n := range 400 {
		ratio := Ratios[r.IntN(len(Ratios))].Step
		k := 2 + 6*r.Float64()
		f := Figure{Lines: []Line{
			{0, 1, [2]int{ratio[0], ratio[1]}, 0}, {1, 2, [2]int{ratio[0], -ratio[1]}, 0},
			{2, 3, [2]int{-ratio[0], -ratio[1]}, 0}, {3, 0, [2]int{-ratio[0], ratio[1]}, 0},
		}}
		if n%2 == 0 {
			f.Lines = f.Lines[:1+r.IntN(3)]
		}
		x, y := 20*r.Float64(), 20*r.Float64()
		for _, at := range [][2]float64{{0, 0}, {1, 1}, {2, 0}, {1, -1}}[:min(4, len(f.Lines)+1)] {
			f.Corners = append(f.Corners, Corner{Want: [2]float64{
				x + at[0]*k*float64(ratio[0]) + 0.2*r.Float64(), y + at[1]*k*float64(ratio[1]) + 0.2*r.Float64()}})
		}
		if n%3 == 0 {
			c := &f.Corners[r.IntN(len(f.Corners))]
			c.Held[0], c.Want[0] = true, math.Round(c.Want[0])
		}
		counts := []int{int(math.Round(k))}
		at, cost, ok := f.Place(counts)
		if !ok {
			t.Fatalf("figure %d has no place", n)
		}
		for _, l := range f.Lines {
			for axis := range 2 {
				if at[l.To][axis]-at[l.From][axis] != counts[0]*l.Step[axis] {
					t.Fatalf("figure %d: a line leads from %v to %v", n, at[l.From], at[l.To])
				}
			}
		}
		for dx := -2; dx <= 2; dx++ {
			for dy := -2; dy <= 2; dy++ {
				other, allowed := 0., true
				for i, c := range f.Corners {
					x, y := float64(at[i][0]+dx)-c.Want[0], float64(at[i][1]+dy)-c.Want[1]
					other += x*x + y*y
					allowed = allowed && (!c.Held[0] || x == 0)
				}
				if allowed && other < cost-0.01*float64(len(at)) {
					t.Fatalf("figure %d: cost %g, and %g when moved by %d, %d", n, cost, other, dx, dy)
				}
			}
		}
	}
}

// What does not close, or is held apart, has no place; a mirror's middle is kept or
// there is none.
func TestNoPlace(t *testing.T) {
	triangle := Figure{
		Corners: make([]Corner, 3),
		Lines:   []Line{{0, 1, [2]int{1, 1}, 0}, {1, 2, [2]int{1, -1}, 1}, {0, 2, [2]int{1, 1}, 0}},
	}
	if _, _, ok := triangle.Place([]int{3, 3}); ok {
		t.Error("lines that do not close have a place")
	}
	roof := Figure{
		Corners: []Corner{{Held: [2]bool{true, true}}, {Want: [2]float64{3, 3}}, {Want: [2]float64{7, 0}, Held: [2]bool{true, true}}},
		Lines:   []Line{{0, 1, [2]int{1, 1}, 0}, {1, 2, [2]int{1, -1}, 0}},
	}
	for n := 1; n < 9; n++ {
		if _, _, ok := roof.Place([]int{n}); ok {
			t.Errorf("a roof over 7 channels has its ridge in a channel, %d over %d", n, n)
		}
	}
	roof.Corners[2].Want[0] = 8
	if at, _, ok := roof.Place([]int{4}); !ok || at[1] != [2]int{4, 4} {
		t.Errorf("a roof over 8 channels: %v", at)
	}
	for twice, want := range map[int]bool{8: true, 9: false} {
		free := roof
		free.Corners = make([]Corner, 3)
		free.Twice[0] = &twice
		if _, _, ok := free.Place([]int{4}); ok != want {
			t.Errorf("a roof whose middle is %d/2: %v", twice, ok)
		}
	}
}

// Counts lie next to the sizes, and a multiple of a size gets that multiple.
func TestCounts(t *testing.T) {
	if got, want := fmt.Sprint(Counts([]float64{5.4})), "[[5] [6] [4]]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if got, want := fmt.Sprint(Counts([]float64{5.4, 21.6})), "[[5 20] [6 24] [4 16]]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if got, want := fmt.Sprint(Counts([]float64{1.2, 4})), "[[1 4] [2 4] [1 5] [1 3] [2 5] [2 3]]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if n := len(Counts([]float64{5.4, 6.5, 7.7, 8.9, 10.1})); n != 1 {
		t.Errorf("%d counts for many sizes", n)
	}
}

// Steps are found by the angle in channels.
func TestMeant(t *testing.T) {
	for _, c := range []struct {
		d    [2]float64
		step [2]int
		size float64
	}{
		{[2]float64{10, 10}, [2]int{1, 1}, 10},
		{[2]float64{-10, 10.5}, [2]int{-1, 1}, 10.25},
		{[2]float64{5, -10}, [2]int{1, -2}, 5},
		{[2]float64{-12, -6}, [2]int{-2, -1}, 6},
		{[2]float64{9, 3}, [2]int{3, 1}, 3},
		{[2]float64{10, 8.3}, [2]int{}, 0}, // 39.7 degrees
		{[2]float64{10, 3.8}, [2]int{}, 0}, // 20.8: near 1 over 3, but not near enough
		{[2]float64{10, 0.4}, [2]int{}, 0}, // on the weave
		{[2]float64{10, 3.45}, [2]int{3, 1}, (30 + 3.45) / 10},
	} {
		step, size, ok := Meant(c.d, 3)
		if ok != (c.size > 0) || step != c.step && ok || math.Abs(size-c.size) > 1e-9 && ok {
			t.Errorf("%v: %v, %g, %v", c.d, step, size, ok)
		}
	}
}
