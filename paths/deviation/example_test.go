package deviation_test

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/deviation"
)

// How far a polyline of twelve sides strays from its circle: by the sagitta of a
// side.
func ExampleOf() {
	circle := paths.Stroke{paths.Circle(paths.Point{}, 100)}
	var corners []paths.Point
	for i := range 13 {
		corners = append(corners, circle[0].At(float64(i%12)/12))
	}
	fmt.Printf("%.2f mm, want %.2f\n", deviation.Of(circle, paths.Polyline(corners...), 0.001), 100*(1-math.Cos(math.Pi/12)))
	// Output: 3.41 mm, want 3.41
}
