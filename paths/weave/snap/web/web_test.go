package web

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/paths/weave"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// TestNew numbers a square, and a line that starts within the rounding of one of its
// corners.
func TestNew(t *testing.T) {
	w := New([]paths.Stroke{
		paths.Polyline(pt(0, 0), pt(10, 0), pt(10, 10), pt(0, 10), pt(0, 0)),
		paths.Polyline(pt(10, 10+Joint/2), pt(20, 20)),
	})
	if want := []paths.Point{pt(0, 0), pt(10, 0), pt(10, 10), pt(0, 10), pt(20, 20)}; !slices.Equal(w.Vertices, want) {
		t.Errorf("the vertices are %v, want %v", w.Vertices, want)
	}
	if want := []int32{0, 1, 2, 3, 0}; !slices.Equal(w.Path(0), want) {
		t.Errorf("the square comes by %v, want %v", w.Path(0), want)
	}
	if want := []int32{2, 4}; !slices.Equal(w.Path(1), want) {
		t.Errorf("the line comes by %v, want %v", w.Path(1), want)
	}
	if got := w.Ends(0, 2); got != [2]int{2, 3} {
		t.Errorf("a side of the square has the ends %v, want 2 and 3", got)
	}
	if !w.IsClosed(0) || w.IsClosed(1) {
		t.Error("the square is closed, and the line is not")
	}
}

// TestRowsAgainstLookingAtAll compares what is found with looking at each point.
func TestRowsAgainstLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.OneOf(rapid.Float64Range(-50, 50), rapid.Map(rapid.IntRange(-8, 8), func(n int) float64 { return 5 * float64(n) }))
		point := rapid.Custom(func(t *rapid.T) paths.Point { return pt(coord.Draw(t, "x"), coord.Draw(t, "y")) })
		pts := rapid.SliceOfN(point, 0, 30).Draw(t, "points")
		height := rapid.SampledFrom([]float64{0.7, 5, 200}).Draw(t, "height")
		for _, axis := range []weave.Axis{weave.Across, weave.Along} {
			rows := NewRows(pts, axis, height)
			lo, hi, left, right := coord.Draw(t, "lo"), coord.Draw(t, "hi"), coord.Draw(t, "left"), coord.Draw(t, "right")
			var got []int
			rows.Visit(lo, hi, left, right, func(i int) { got = append(got, i) })
			for i, p := range pts {
				fixed, along := axis.Split(p)
				if among := slices.Contains(got, i); fixed < left || fixed > right {
					if among {
						t.Fatalf("%v is not between %g and %g", p, left, right)
					}
				} else if along >= lo && along <= hi && !among {
					t.Fatalf("%v lies between %g and %g, and was not found", p, lo, hi)
				} else if among && (along < lo-height || along > hi+height) {
					t.Fatalf("%v lies more than a row beyond %g to %g", p, lo, hi)
				}
			}
		}
	})
}
