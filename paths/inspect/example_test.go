package inspect_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/inspect"
)

// A square whose outline stops short of its start, a line drawn twice, and a
// dot, where a row of loops takes 2 mm.
func ExampleInspect() {
	p := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	res := inspect.Inspect([]paths.Stroke{
		paths.Polyline(p(0.3, 0), p(40, 0), p(40, 40), p(0, 40), p(0, 0)),
		paths.Polyline(p(60, 0), p(60, 30)),
		paths.Polyline(p(60, 10), p(60, 50)),
		paths.Polyline(p(20, 20)),
	}, inspect.Options{Across: 2, Along: 2})
	names := []string{"double", "gap", "speck", "close"}
	for _, f := range res.Found {
		fmt.Printf("%s of %.1f mm at %v\n", names[f.Kind], f.Length, f.At)
	}
	fmt.Println("all looked at:", res.Whole)
	// Output:
	// double of 20.0 mm at {60 20}
	// gap of 0.3 mm at {0.15 0}
	// speck of 0.0 mm at {20 20}
	// all looked at: true
}
