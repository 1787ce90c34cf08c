package snap

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// The sides of a vertex that many end at are found by their directions as by looking at
// each of them, also while more and more of them are used.
func TestFanAgainstLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(manySides, 3*manySides).Draw(t, "sides")
		angle := rapid.OneOf(rapid.Float64Range(-math.Pi, math.Pi),
			rapid.Map(rapid.IntRange(-36, 36), func(k int) float64 { return float64(k) * straightTurn }))
		lines := &slantSet{points: []paths.Point{{}}, at: map[int][]int{}, fans: map[int]*fan{}}
		for i := range n {
			u := unit(angle.Draw(t, "angle"))
			lines.points = append(lines.points, u.Mul(rapid.Float64Range(1, 50).Draw(t, "length")))
			if k := (side{0, i + 1, i}); i%2 == 0 {
				lines.add(k)
			} else {
				lines.add(side{k.to, k.from, i})
			}
		}
		for range 40 {
			i := rapid.IntRange(0, n-1).Draw(t, "from")
			heading := lines.way(0, i).Mul(-1)
			want, bends := noSide, false
			for j := range n {
				turn := math.Abs(turnOf(heading, lines.way(0, j)))
				if want == noSide && j != i && !lines.used[j] && turn <= straightTurn {
					want = j
				}
				bends = bends || j != i && turn <= cornerTurn
			}
			if got := lines.next(i, 0, heading); got != want {
				t.Fatalf("side %d goes on as side %d, want %d", i, got, want)
			}
			if got := lines.bends(i+1, 0); got != bends {
				t.Fatalf("side %d bends: %v", i, got)
			}
			lines.use(rapid.IntRange(0, n-1).Draw(t, "used"))
		}
	})
}

func unit(angle float64) paths.Point { return pt(math.Cos(angle), math.Sin(angle)) }
