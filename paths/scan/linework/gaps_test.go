package linework

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

func TestGaps(t *testing.T) {
	p := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	strokes := []paths.Stroke{
		paths.Polyline(p(0, 0), p(10, 0)), paths.Polyline(p(12, 0), p(30, 0)), // 2 mm apart
		paths.Polyline(p(30, 0), p(30, 20)),                                // meets the one before
		paths.Polyline(p(0, 40), p(20, 40), p(20, 60), p(0, 60), p(0, 41)), // its own ends are 1 mm apart
		{paths.Circle(p(80, 80), 5)},                                       // has no ends
		paths.Polyline(p(100, 0), p(110, 0)),                               // far from all
	}
	got := Gaps(strokes, 5)
	want := []Gap{{p(0, 40), p(0, 41)}, {p(10, 0), p(12, 0)}}
	if !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	for _, g := range got {
		strokes = append(strokes, g.Bridge())
	}
	if got := Gaps(strokes, 5); len(got) > 0 {
		t.Errorf("closed gaps are listed again: %v", got)
	}
}

// Every gap is no wider than asked, and no end is in two of them.
func TestGapsAreApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		point := rapid.Custom(func(t *rapid.T) paths.Point {
			return paths.Point{X: float64(rapid.IntRange(0, 30).Draw(t, "x")), Y: float64(rapid.IntRange(0, 30).Draw(t, "y"))}
		})
		var strokes []paths.Stroke
		for range rapid.IntRange(0, 8).Draw(t, "strokes") {
			strokes = append(strokes, paths.Polyline(point.Draw(t, "from"), point.Draw(t, "to")))
		}
		within := float64(rapid.IntRange(1, 20).Draw(t, "within"))
		used := map[paths.Point]bool{}
		last := 0.0
		for _, g := range Gaps(strokes, within) {
			if g.Length() > within || g.Length() < last || used[g.From] || used[g.To] {
				t.Fatalf("gap %v of %v", g, strokes)
			}
			last = g.Length()
			used[g.From], used[g.To] = true, true
		}
	})
}
