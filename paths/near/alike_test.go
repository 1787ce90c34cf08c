package near

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
)

// Lists of one number hold the same items, a query reads what [Cells.Along] reads, and along
// the lines of a lattice, which run through many cells together, few numbers are met.
func TestAlike(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 7))
	var lattice, anywhere []paths.Line
	for i := range 60 {
		x, p := float64(i), func() paths.Point { return paths.Point{X: 60 * rnd.Float64(), Y: 60 * rnd.Float64()} }
		lattice = append(lattice, paths.Line{A: paths.Point{X: 0, Y: x}, B: paths.Point{X: 60, Y: x}})
		anywhere = append(anywhere, paths.Line{A: p(), B: p()})
	}
	for _, lines := range [][]paths.Line{lattice, anywhere, nil} {
		cells := NewCells(paths.RectOf(paths.Point{}, paths.Point{X: 60, Y: 60}), 2, len(lines), func(i int, put func(paths.Rect)) {
			Steps(lines[i].A, lines[i].B, 2, put)
		})
		a, held := NewAlike(cells), map[int32][]int32{}
		for _, l := range lines {
			var want, got [][]int32
			met := map[int32]bool{}
			cells.Along(l.A, l.B, 3, func(items []int32) { want = append(want, items) })
			a.Along(l.A, l.B, 3, func(list int32, items []int32) {
				got, met[list] = append(got, items), true
				if before, ok := held[list]; ok && !slices.Equal(before, items) || int(list) >= a.Lists() {
					t.Fatalf("list %d of %d holds %v and %v", list, a.Lists(), before, items)
				}
				held[list] = items
			})
			if !slices.EqualFunc(got, want, slices.Equal[[]int32]) {
				t.Fatalf("read %v, want %v", got, want)
			}
			if &lines[0] == &lattice[0] && (len(met) > 5 || len(got) < 60) {
				t.Fatalf("a line of a lattice reads lists %v in %d cells", slices.Sorted(maps.Keys(met)), len(got))
			}
		}
	}
}
