package touch

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/carry"
	"weftplot/paths/weave/snap/web"
)

// beside draws lines that run close beside each other at an angle, and points on some of
// them and at all their ends.
func beside(t *rapid.T, angle float64) (points []paths.Point, lines []paths.Line) {
	wide := rapid.SampledFrom([]float64{2e-6, 1e-4, 0.04}).Draw(t, "width")
	aside := rapid.Map(rapid.IntRange(0, 10), func(k int) float64 { return 150 + wide*float64(k)/10 })
	x := rapid.OneOf(rapid.Float64Range(20, 130), rapid.SampledFrom([]float64{20, 130}))
	sin, cos := math.Sincos(angle)
	turned := func(x, y float64) paths.Point { return paths.Point{X: x*cos - y*sin, Y: x*sin + y*cos} }
	for range rapid.IntRange(Heap, 2*Heap).Draw(t, "lines") {
		a, b := turned(x.Draw(t, "x"), aside.Draw(t, "aside")), turned(150+x.Draw(t, "to"), aside.Draw(t, "aside"))
		lines, points = append(lines, paths.Line{A: a, B: b}), append(points, a, b)
		if rapid.IntRange(0, 2).Draw(t, "on it") == 0 {
			points = append(points, a.Lerp(b, rapid.Float64Range(0, 1).Draw(t, "share")))
		}
	}
	return points, lines
}

// What touches straights that run close beside each other is found as by looking at all, in
// the order of the straights.
func TestStraightsAgainstLookingAtAll(t *testing.T) {
	const height = 7
	rapid.Check(t, func(t *rapid.T) {
		points, lines := beside(t, rapid.SampledFrom([]float64{0, math.Pi / 2, 0.02}).Draw(t, "angle"))
		for _, axis := range []weave.Axis{weave.Across, weave.Along} {
			var straights []Straight
			for _, l := range lines {
				u, v := axis.Split(l.A)
				w, x := axis.Split(l.B)
				r := Straight{At: []carry.Knot{{Fixed: u, Along: v}, {Fixed: w, Along: x}}, Mean: (u + w) / 2}
				if x < v {
					slices.Reverse(r.At)
				}
				if x != v {
					straights = append(straights, r)
				}
			}
			d := &finder{points, axis, straights, web.NewRows(points, axis, height)}
			var got, want []string
			Straights(d.rows, straights, func(v, i int) { got = append(got, fmt.Sprint(i, v)) })
			heaps, others := d.heaps()
			if len(heaps) > 0 {
				continue
			}
			for _, i := range others {
				d.rows.Visit(straights[i].lo(), straights[i].hi(), math.Inf(-1), math.Inf(1), func(v int) {
					if d.touches(v, i) {
						want = append(want, fmt.Sprint(i, v))
					}
				})
			}
			if !slices.Equal(got, want) {
				t.Fatalf("straights are touched %v, want %v", got, want)
			}
		}
	})
}

// All points on lines that run close beside each other are found, and where very many lie on
// one line the longest of those that pass a point.
func TestLinesAgainstLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points, lines := beside(t, rapid.SampledFrom([]float64{0, 0.3, 1.2}).Draw(t, "angle"))
		found := map[[2]int]bool{}
		Lines(points, lines, func() bool { return false }, func(v, i int) bool { found[[2]int{v, i}] = true; return true })
		_, off := web.Carriers(lines, Heap)
		for _, i := range off {
			for v, p := range points {
				if lines[i].Dist(p) <= web.Joint && !found[[2]int{v, i}] {
					t.Fatalf("point %v on line %v is not found", p, lines[i])
				}
			}
		}
	})
}

// TestLinesStop: of many points no more are looked at once it is said not to go on.
func TestLinesStop(t *testing.T) {
	points, line := make([]paths.Point, 100*asking), paths.Line{A: paths.Point{X: -1}, B: paths.Point{X: 1}}
	asked, taken := 0, 0
	Lines(points, []paths.Line{line}, func() bool { asked++; return asked > 3 }, func(int, int) bool { taken++; return true })
	if asked != 4 || taken != 3*asking {
		t.Errorf("asked %d times, %d points are told, want 4 and %d", asked, taken, 3*asking)
	}
}
