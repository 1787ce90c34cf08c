package scan_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/scan"
	"weftplot/paths/scan/truth"
)

// rope is a drawing of a line with a corner, as a scanner sees it.
var rope = truth.Drawing{W: 40, H: 30, Strokes: []paths.Stroke{
	paths.Polyline(paths.Point{X: 5, Y: 5}, paths.Point{X: 35, Y: 5}, paths.Point{X: 35, Y: 25}),
}}

func ExampleTrace() {
	page, _ := truth.Scan(0.8).Of(rope, 300)
	t, err := scan.Trace(page, scan.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d stroke of %d curves, a line %.1f mm wide\n", len(t.Strokes), len(t.Strokes[0]), t.LineMM)
	for _, f := range t.Finds {
		fmt.Println(f.Message)
	}
	// Output:
	// 1 stroke of 2 curves, a line 0.8 mm wide
}
