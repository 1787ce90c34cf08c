package rings

import (
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// What lies inside rings, and what meets their edge, is told as by looking at all sides, by
// the definition of the even-odd rule; also of rings that lie level or go to and fro.
func TestAgainstLookingAtAllSides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.OneOf(rapid.Float64Range(0, 10), rapid.Map(rapid.IntRange(0, 4), func(n int) float64 { return 2.5 * float64(n) }))
		point := rapid.Custom(func(t *rapid.T) paths.Point { return paths.Point{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y")} })
		var edge, moved Edge
		var area Area
		var sides [][2]paths.Point
		for range rapid.IntRange(1, 3).Draw(t, "rings") {
			ring := rapid.SliceOfN(point, 1, 60).Draw(t, "ring")
			edge.Add(ring)
			area.Add(ring)
			for i := range ring {
				sides = append(sides, [2]paths.Point{ring[i], ring[(i+1)%len(ring)]})
			}
		}
		by := paths.Point{X: 64, Y: -32}
		for range 2 { // the second time in the room of the first
			moved.MoveTo(&edge, by)
		}
		for k, r := range moved.Rings {
			for i, p := range r.Points {
				if want := edge.Rings[k].Points[i].Add(by); p != want || !r.Box.Contains(p) || !moved.Box.Contains(p) {
					t.Fatalf("point %d of ring %d came to %v, want %v", i, k, p, want)
				}
			}
		}
		for _, p := range rapid.SliceOfN(point, 1, 10).Draw(t, "points") {
			want := false
			for _, s := range sides {
				if passesRight(s[0], s[1], p) {
					want = !want
				}
			}
			if got, in := edge.Inside(p), area.Inside(p); got != want || in != want {
				t.Fatalf("%v lies inside: %v by the edge, %v by the area, want %v", p, got, in, want)
			}
			const near = 0.5
			on := false
			for k := range edge.Rings {
				ring := edge.Rings[k].Points
				for i := 1; i < len(ring); i++ {
					on = on || (paths.Line{A: ring[i-1], B: ring[i]}).Dist(p) <= near
				}
			}
			if got := edge.Holds(p, near); got != on {
				t.Fatalf("%v lies on the edge: %v, want %v", p, got, on)
			}
		}
		line := rapid.SliceOfN(point, 2, 3).Draw(t, "line")
		want := false
		for k := range edge.Rings {
			ring := edge.Rings[k].Points
			for i := 1; i < len(ring); i++ {
				for j := 1; j < len(line); j++ {
					want = want || Cross(ring[i-1], ring[i], line[j-1], line[j])
				}
			}
		}
		if got, _ := edge.Meets(line, paths.RectOf(line...)); got != want {
			t.Fatalf("the line %v meets the edge: %v, want %v", line, got, want)
		}
	})
}
