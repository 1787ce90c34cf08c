package join_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/join"
)

// A house with a roof, drawn as eight separate lines: the roof, the walls, and
// two braces across. It has two odd nodes, so the pen need not be lifted.
func ExampleStrokes() {
	at := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	line := func(a, b paths.Point) paths.Stroke { return paths.Polyline(a, b) }
	a, b, c, d, top := at(0, 0), at(10, 0), at(10, 10), at(0, 10), at(5, 17)
	strokes, report, err := join.Strokes([]paths.Stroke{
		line(a, b), line(b, c), line(c, d), line(d, a), line(a, c), line(b, d), line(c, top), line(top, d),
		line(at(2, 0), at(8, 0)), // lies on the floor
	}, join.Options{Tolerance: 0.01})
	if err != nil {
		fmt.Println(err)
	}
	fmt.Printf("%d stroke of %d curves, %g mm drawn once instead of twice\n", len(strokes), len(strokes[0]), report.MergedMM)
	fmt.Printf("%d nodes, %d of them odd\n", report.Nodes, report.Odd)
	// Output:
	// 1 stroke of 8 curves, 6 mm drawn once instead of twice
	// 5 nodes, 2 of them odd
}
