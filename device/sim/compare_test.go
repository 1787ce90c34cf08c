package sim

import (
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

func straight(xy ...float64) paths.Stroke {
	var pts []paths.Point
	for i := 0; i < len(xy); i += 2 {
		pts = append(pts, paths.Point{X: xy[i], Y: xy[i+1]})
	}
	return paths.Polyline(pts...)
}

func TestCompare(t *testing.T) {
	a, b, c := straight(0, 0, 10, 0), straight(0, 5, 10, 5, 10, 9), straight(20, 20)
	square, turned := straight(0, 0, 5, 0, 5, 5, 0, 5, 0, 0), straight(5, 5, 0, 5, 0, 0, 5, 0, 5, 5)
	for name, x := range map[string]struct {
		want, got                        []paths.Stroke
		matched, inOrder, missing, extra int
	}{
		"the same":        {[]paths.Stroke{a, b, c}, []paths.Stroke{a, b, c}, 3, 3, 0, 0},
		"reversed":        {[]paths.Stroke{a, b}, []paths.Stroke{a.Reverse(), b.Reverse()}, 2, 2, 0, 0},
		"another order":   {[]paths.Stroke{a, b, c}, []paths.Stroke{c, a, b}, 3, 1, 0, 0},
		"one missing":     {[]paths.Stroke{a, b, c}, []paths.Stroke{a, c}, 2, 2, 1, 0},
		"one too many":    {[]paths.Stroke{a, c}, []paths.Stroke{a, b, c}, 2, 2, 0, 1},
		"twice":           {[]paths.Stroke{a}, []paths.Stroke{a, a}, 1, 1, 0, 1},
		"begun elsewhere": {[]paths.Stroke{square}, []paths.Stroke{turned}, 1, 1, 0, 0},
		"moved":           {[]paths.Stroke{a}, []paths.Stroke{straight(0, 0.2, 10, 0.2)}, 0, 0, 1, 1},
		"bent":            {[]paths.Stroke{a}, []paths.Stroke{straight(0, 0, 5, 0.2, 10, 0)}, 0, 0, 1, 1},
		"in pieces":       {[]paths.Stroke{a}, []paths.Stroke{straight(0, 0, 3, 0, 10, 0)}, 1, 1, 0, 0},
		"nothing":         {nil, nil, 0, 0, 0, 0},
	} {
		r := Compare(x.want, x.got, 0.1)
		if r.Matched != x.matched || len(r.Missing) != x.missing || len(r.Extra) != x.extra {
			t.Errorf("%s: %+v", name, r)
		}
		if name != "one too many" && name != "another order" && name != "one missing" && r.InOrder != x.inOrder {
			t.Errorf("%s: %d in order, want %d", name, r.InOrder, x.inOrder)
		}
		if r.Deviation > 1e-9 {
			t.Errorf("%s: deviation %g", name, r.Deviation)
		}
	}
}

// Strokes shifted by less than the tolerance match, and the shift is measured,
// whatever their order.
func TestCompareMeasures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 20).Draw(t, "n")
		shift := rapid.Float64Range(0, 0.09).Draw(t, "shift")
		var want, got []paths.Stroke
		for i := range n {
			y := float64(10 * i)
			want = append(want, straight(0, y, 50, y, 55, y+3))
			got = append(got, straight(0, y+shift, 50, y+shift, 55, y+3+shift))
		}
		got = rapid.Permutation(got).Draw(t, "order")
		r := Compare(want, got, 0.1)
		if !r.Same() || r.Deviation < shift*0.9-0.02 || r.Deviation > shift+0.02 {
			t.Fatalf("shift %g: %+v", shift, r)
		}
	})
}
