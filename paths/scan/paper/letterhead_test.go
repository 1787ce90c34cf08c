package paper_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/paper"
)

// TestLetterhead looks for print among boxes as large as letters: those of a machine stand
// on their line, those of a hand stray.
func TestLetterhead(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	row := func(n int, y, apart, stray, slope float64) []paths.Stroke {
		var out []paths.Stroke
		for i := range n {
			x := 30 + apart*float64(i)
			p := paths.Point{X: x, Y: y + slope*(x-30) + stray*random.NormFloat64()}
			if i%5 == 2 {
				p.Y -= 0.8 // it has a descender
			}
			out = append(out, paths.Polyline(p, p.Add(paths.Point{X: 1.5}), p.Add(paths.Point{X: 1, Y: 2.4}), p))
		}
		return out
	}
	drawing := []paths.Stroke{paths.Polyline(paths.Point{X: 20, Y: 20}, paths.Point{X: 190, Y: 20}, paths.Point{X: 190, Y: 280}), {paths.Circle(paths.Point{X: 100, Y: 270}, 3)}}
	for _, c := range []struct {
		name  string
		marks []paths.Stroke
		want  bool
	}{
		{"two lines", append(row(30, 280, 2.4, 0.03, 0), row(40, 274, 2.4, 0.03, 0)...), true},
		{"askew", row(30, 280, 2.4, 0.03, 0.02), true},
		{"at the foot", row(30, 15, 2.4, 0.03, 0), true},
		{"in the middle", row(30, 150, 2.4, 0.03, 0), false},
		{"a row by hand", row(30, 280, 2.4, 0.4, 0), false},
		{"by a steady hand", row(30, 280, 2.4, 0.2, 0), false},
		{"few", row(6, 280, 2.4, 0, 0), false},
		{"far apart", row(10, 280, 16, 0, 0), false},
		{"none", nil, false},
	} {
		var want []int
		for i := range c.marks {
			if c.want {
				want = append(want, i+1)
			}
		}
		strokes := slices.Concat(drawing[:1], c.marks, drawing[1:])
		if got := paper.Letterhead(strokes, 297); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", c.name, got, want)
		}
	}
}
