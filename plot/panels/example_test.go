package panels_test

import (
	"context"
	"fmt"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/plot/panels"
)

// A runner with a border, a rung every 4 cm and a rail along it, on loads of 50 by 48 cm.
func ExampleDivide() {
	line := func(x0, y0, x1, y1 float64) panels.Stroke {
		return panels.Stroke{Stroke: paths.Polyline(paths.Point{X: x0, Y: y0}, paths.Point{X: x1, Y: y1}), Name: "ladder"}
	}
	strokes := []panels.Stroke{line(0, 0, 0, 800), line(400, 0, 400, 800), line(200, 0, 200, 800)}
	for y := 0.; y <= 800; y += 40 {
		strokes = append(strokes, line(0, y, 400, y))
	}
	opt := panels.Options{Grid: weave.Grid{Across: 2, Along: 2}, Width: 500, Height: 480, Lap: 2}
	p, err := panels.Divide(context.Background(), strokes, opt)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d loads, no way with fewer: %v; %d strokes cut\n", len(p.Loads), p.Exact, p.Cuts)
	for _, j := range p.Joints {
		fmt.Printf("a joint at %.0f, %.0f mm\n", j.At.X, j.At.Y)
	}
	found, err := p.Findable(1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("before the second load there is a %s\n", found[0].Name)
	// Output:
	// 2 loads, no way with fewer: true; 3 strokes cut
	// a joint at 0, 440 mm
	// a joint at 400, 440 mm
	// a joint at 200, 440 mm
	// before the second load there is a crossing of ladder at 0 across and 160 along, lower left
}
