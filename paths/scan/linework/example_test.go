package linework_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/scan"
	"weftplot/paths/scan/linework"
	"weftplot/paths/scan/truth"
)

// rope is a drawing of a line with a corner, as a scanner sees it.
var rope = truth.Drawing{W: 40, H: 30, Strokes: []paths.Stroke{
	paths.Polyline(paths.Point{X: 5, Y: 5}, paths.Point{X: 35, Y: 5}, paths.Point{X: 35, Y: 25}),
}}

func ExampleTraceToWidth() {
	page, _ := truth.Scan(0.8).Of(rope, 300)
	page.MM = 0.1 // a guess; the drawing is known to be 60 mm wide
	page, t, err := linework.TraceToWidth(page, 60, scan.Options{Deskew: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f mm wide at %.3f mm a pixel\n", paths.BoundsOf(t.Strokes).Width(), page.MM)
	// Output:
	// 60 mm wide at 0.169 mm a pixel
}
