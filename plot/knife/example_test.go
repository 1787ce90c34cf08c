package knife_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/knife"
)

// The holder of a blade that already points along a straight cut is ahead of
// the tip by the offset.
func ExampleWays() {
	cut := paths.Polyline(paths.Point{X: 10}, paths.Point{X: 30})
	for _, way := range knife.Ways([]paths.Stroke{cut}, knife.Blade{Offset: 0.25}) {
		fmt.Println(way.Start(), way.End())
	}
	// Output:
	// {10.25 0} {30.25 0}
}
