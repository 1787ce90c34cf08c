package order_test

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/order"
)

func at(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// Three hems, given in no good order. Every other one is drawn backwards.
func ExampleOrder() {
	hems := []paths.Stroke{
		paths.Polyline(at(0, 0), at(100, 0)),
		paths.Polyline(at(0, 20), at(100, 20)),
		paths.Polyline(at(0, 10), at(100, 10)),
	}
	tour, err := order.Order([][]paths.Stroke{hems}, order.Options{Park: at(100, 30)})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range tour.Placed {
		fmt.Printf("hem %d, reversed: %v\n", p.Index+1, p.Reversed)
	}
	fmt.Printf("travel %.0f mm, as given %.0f mm\n", tour.TravelMM, tour.InputMM)
	// Output:
	// hem 1, reversed: false
	// hem 3, reversed: true
	// hem 2, reversed: false
	// travel 30 mm, as given 222 mm
}

// What is drawn with the first pen comes before all that is drawn with the
// second. The cost is the time of a machine whose axes move independently.
func ExampleOrder_groups() {
	first := []paths.Stroke{paths.Polyline(at(50, 0), at(60, 0))}
	second := []paths.Stroke{paths.Polyline(at(0, 0), at(10, 0))}
	slower := func(p, q paths.Point) float64 { return max(math.Abs(p.X-q.X)/80, math.Abs(p.Y-q.Y)/60) }
	tour, err := order.Order([][]paths.Stroke{first, second}, order.Options{Cost: slower})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range tour.Placed {
		fmt.Printf("pen %d from %v\n", p.Group+1, p.Stroke.Start())
	}
	// Output:
	// pen 1 from {50 0}
	// pen 2 from {10 0}
}
