package near_test

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// The pen was stopped beside an arc: how far from its line, and where on it?
func ExampleOn() {
	quarter := paths.ArcAround(paths.Point{}, 50, 0, math.Pi/2)
	t, d := near.On(quarter, paths.Point{X: 36, Y: 36})
	fmt.Printf("%.3f mm off, at %.0f %% of the way\n", d, 100*t)
	// Output: 0.912 mm off, at 50 % of the way
}

func ExampleOnStroke() {
	square := paths.Polyline(paths.Point{}, paths.Point{X: 20}, paths.Point{X: 20, Y: 20}, paths.Point{Y: 20}, paths.Point{})
	curve, t, d := near.OnStroke(square, paths.Point{X: 21, Y: 5})
	fmt.Printf("side %d at %.2f, %g mm away\n", curve+1, t, d)
	// Output: side 2 at 0.25, 1 mm away
}

func ExamplePoints() {
	holes := near.NewPoints([]paths.Point{{X: 0}, {X: 2}, {X: 4}, {X: 4, Y: 2}, {X: 9}})
	fmt.Println(slices.Sorted(holes.Within(paths.Point{X: 3}, 1.5)))
	fmt.Println(holes.Nearest(paths.Point{X: 5}, 2))
	fmt.Println(slices.Sorted(holes.In(paths.Rect{Max: paths.Point{X: 4, Y: 5}})))
	// Output:
	// [1 2]
	// [2 3]
	// [0 1 2 3]
}

func ExampleSets() {
	s := near.NewSets(5)
	s.Join(4, 2)
	s.Join(2, 1)
	fmt.Println(s.Find(4), s.Same(1, 4), s.Same(0, 4))
	// Output: 1 true false
}

// Three ends in a row, each within a millimetre of the next. As one place they
// are 1.6 mm wide; by leaders none moves farther than a millimetre.
func ExampleClusters() {
	ends := []paths.Point{{X: 0}, {X: 1.6}, {X: 0.8}, {X: 5}}
	number, places := near.Clusters(ends, 1)
	fmt.Println(number, places)
	number, leaders := near.Leaders(ends, 1, nil)
	fmt.Println(number, leaders)
	// Output:
	// [0 0 0 1] 2
	// [0 1 0 2] [0 1 3]
}
