package paths_test

import (
	"fmt"

	"weftplot/paths"
)

func ExamplePolyline() {
	square := paths.Polyline(paths.Point{}, paths.Point{X: 30}, paths.Point{X: 30, Y: 30}, paths.Point{Y: 30}, paths.Point{})
	fmt.Println(len(square), square.Length(), square.IsClosed())
	fmt.Println(square.Bounds().Centre())
	// Output:
	// 4 120 true
	// {15 15}
}

// A rug drawn on the back of the cloth is mirrored; circles stay circles.
func ExampleStroke_Transform() {
	disc := paths.Stroke{paths.Circle(paths.Point{X: 20, Y: 50}, 10)}
	mirrored := disc.Transform(paths.MirrorX(100))
	fmt.Printf("%d arc about %v\n", len(mirrored), mirrored[0].(paths.Arc).Centre)
	// Output: 1 arc about {180 50}
}

func ExampleCrossings() {
	circle := paths.Circle(paths.Point{}, 5)
	line := paths.Line{A: paths.Point{X: -10, Y: 3}, B: paths.Point{X: 10, Y: 3}}
	for _, x := range paths.Crossings(line, circle, 1e-6) {
		p := line.At(x.S)
		fmt.Printf("(%.0f, %.0f)\n", p.X, p.Y)
	}
	// Output:
	// (-4, 3)
	// (4, 3)
}

func ExampleParseLength() {
	l, err := paths.ParseLength("14in")
	fmt.Printf("%.1f mm, %v\n", float64(l), err)
	_, err = paths.ParseLength("14")
	fmt.Println(err)
	// Output:
	// 355.6 mm, <nil>
	// the length "14" has no unit
}
