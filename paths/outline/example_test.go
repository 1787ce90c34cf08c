package outline_test

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/outline"
)

// A red disc of 10 mm radius, half of it under a blue square. Of the disc the
// free half is seen, as one arc; of the square all.
func ExampleSeen() {
	square := paths.Polyline(paths.Point{}, paths.Point{X: 30}, paths.Point{X: 30, Y: 30}, paths.Point{Y: 30}, paths.Point{})
	seen, err := outline.Seen([]outline.Fill{
		{Area: []paths.Stroke{{paths.Circle(paths.Point{Y: 15}, 10)}}, Colour: "red"},
		{Area: []paths.Stroke{square}, Colour: "blue"},
	}, outline.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	arc := seen[0].Lines[0]
	fmt.Printf("of the disc %d curve, %.0f degrees of it\n", len(arc), arc.Length()/10*180/math.Pi)
	fmt.Printf("of the square %.0f mm\n", paths.LengthOf(seen[1].Lines))
	// Output:
	// of the disc 1 curve, 180 degrees of it
	// of the square 120 mm
}
