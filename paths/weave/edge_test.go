package weave

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// Where ticks stand on sides of small counts, worked out by hand.
func TestTickChannels(t *testing.T) {
	for n, want := range map[int][]int{
		8: {2, 4, 6}, 9: {2, 4, 5, 7}, 10: {2, 5, 8}, 11: {3, 5, 6, 8}, 12: {3, 6, 9}, 16: {4, 8, 12},
	} {
		var got []int
		for _, k := range tickChannels(100, 100+n) {
			got = append(got, k.channel-100)
		}
		if len(got) != len(want) {
			t.Errorf("%d channels: %v, want %v", n, got, want)
			continue
		}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%d channels: %v, want %v", n, got, want)
			}
		}
	}
}

// Whatever the rug: ticks lie in channels, outside the edge, symmetric both ways, at
// most half a channel from the true middle and quarters; lines round it are closed and
// so many rows outside.
func TestEdgeLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Grid{rapid.Float64Range(1, 4).Draw(t, "across"), rapid.Float64Range(1, 4).Draw(t, "along")}
		rug := paths.Rect{
			Min: paths.Point{X: rapid.Float64Range(-5, 5).Draw(t, "x"), Y: rapid.Float64Range(-5, 5).Draw(t, "y")},
		}
		rug.Max = rug.Min.Add(paths.Point{X: rapid.Float64Range(40, 900).Draw(t, "w"), Y: rapid.Float64Range(40, 900).Draw(t, "h")})
		e, inner := EdgeRound(rug, g), EdgeWithin(rug, g)
		if r := e.Rect(g); r.Grow(1e-4).Union(rug) != r.Grow(1e-4) || rug.Grow(1e-4).Union(inner.Rect(g)) != rug.Grow(1e-4) {
			t.Fatalf("%v does not hold %v, or that not %v", r, rug, inner.Rect(g))
		}
		rows := rapid.IntRange(0, 30).Draw(t, "rows")
		out := e.Outside(rows)
		if e.Left-out.Left != rows+1 || out.Top-e.Top != rows+1 {
			t.Fatalf("%v is not %d rows outside %v", out, rows, e)
		}
		if line := out.Line(g); !line.IsClosed() || line.Bounds() != out.Rect(g) {
			t.Fatalf("the line round %v is %v", out, line)
		}
		ticks := e.Ticks(6, 3, g)
		rect := e.Rect(g)
		seen := map[[2]int]bool{} // middles in half channels
		for _, k := range ticks {
			a, b := g.PlaceOf(k.Start()), g.PlaceOf(k.End())
			for _, v := range []float64{a.Across, a.Along, b.Across, b.Along} {
				if math.Abs(v-math.Round(v)) > 1e-6 {
					t.Fatalf("a tick from %v to %v is not in channels", a, b)
				}
			}
			if !rect.Grow(1e-6).Contains(k.Start()) || rect.Grow(-1e-6).Contains(k.End()) {
				t.Fatalf("a tick from %v to %v does not run outwards from %v", a, b, e)
			}
			seen[[2]int{int(math.Round(a.Across + b.Across)), int(math.Round(a.Along + b.Along))}] = true
		}
		for m := range seen {
			if !seen[[2]int{2*(e.Left+e.Right) - m[0], m[1]}] || !seen[[2]int{m[0], 2*(e.Bottom+e.Top) - m[1]}] {
				t.Fatalf("ticks are not symmetric: %v of %v", m, seen)
			}
		}
		for _, k := range tickChannels(e.Left, e.Right) {
			n, off := float64(e.Right-e.Left), math.Inf(1)
			for _, part := range []float64{0.25, 0.5, 0.75} {
				off = min(off, math.Abs(float64(k.channel-e.Left)-n*part))
			}
			if off > 0.5 {
				t.Fatalf("a tick is %g channels off", off)
			}
		}
	})
}
