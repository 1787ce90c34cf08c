package slanting

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// The sides of a vertex that many end at are found by their directions as by looking at
// each of them, also while more and more of them are used.
func TestFanAgainstLookingAtAll(t *testing.T) {
	const cornerTurn = 25 * math.Pi / 180
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(manySides, 3*manySides).Draw(t, "sides")
		angle := rapid.OneOf(rapid.Float64Range(-math.Pi, math.Pi),
			rapid.Map(rapid.IntRange(-36, 36), func(k int) float64 { return float64(k) * StraightTurn }))
		points, sides := []paths.Point{{}}, []Side(nil)
		for i := range n {
			a := angle.Draw(t, "angle")
			far := rapid.Float64Range(1, 50).Draw(t, "length")
			points = append(points, paths.Point{X: far * math.Cos(a), Y: far * math.Sin(a)})
			if k := (Side{0, int32(i + 1), int32(i)}); i%2 == 0 {
				sides = append(sides, k)
			} else {
				sides = append(sides, Side{k.To, k.From, int32(i)})
			}
		}
		lines := New(points, sides)
		for range 40 {
			i := rapid.IntRange(0, n-1).Draw(t, "from")
			heading := lines.way(0, i).Mul(-1)
			want, bends := noSide, false
			for j := range n {
				turn := math.Abs(Turn(heading, lines.way(0, j)))
				if want == noSide && j != i && !lines.used[j] && turn <= StraightTurn {
					want = j
				}
				bends = bends || j != i && turn <= cornerTurn
			}
			if got := lines.next(i, 0, heading); got != want {
				t.Fatalf("side %d goes on as side %d, want %d", i, got, want)
			}
			if got := lines.Bends(i+1, 0, cornerTurn); got != bends {
				t.Fatalf("side %d bends: %v", i, got)
			}
			lines.use(rapid.IntRange(0, n-1).Draw(t, "used"))
		}
	})
}

// Each side is in one row, a row has one side more than it goes on, and nowhere turns by
// more than StraightTurn; where it ends nothing that goes on is left.
func TestRowsHoldEachSideOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Map(rapid.IntRange(0, 4), func(n int) float64 { return float64(n) })
		points := make([]paths.Point, rapid.IntRange(2, 12).Draw(t, "vertices"))
		for i := range points {
			points[i] = paths.Point{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y")}
		}
		var sides []Side
		left := map[[2]int]int{} // by the ends of sides, how many are in no row yet
		ends := func(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }
		vertex := rapid.IntRange(0, len(points)-1)
		for range rapid.IntRange(1, 20).Draw(t, "sides") {
			if a, b := vertex.Draw(t, "from"), vertex.Draw(t, "to"); points[a] != points[b] {
				sides = append(sides, Side{From: int32(a), To: int32(b)})
				left[ends(a, b)]++
			}
		}
		New(points, sides).Rows(func(row []int) {
			for i := 1; i < len(row); i++ {
				if left[ends(row[i-1], row[i])]--; left[ends(row[i-1], row[i])] < 0 {
					t.Fatalf("row %v has a side that is none or is in another", row)
				}
				if i > 1 && math.Abs(Turn(points[row[i-1]].Sub(points[row[i-2]]), points[row[i]].Sub(points[row[i-1]]))) > StraightTurn {
					t.Fatalf("row %v turns at vertex %d", row, row[i-1])
				}
			}
		})
		for of, n := range left {
			if n != 0 {
				t.Fatalf("%d sides from %d to %d are in no row", n, of[0], of[1])
			}
		}
	})
}
