package snap_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap"
)

func at(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// A stem that leans a little and the bowl of a letter on it. The stem goes into
// the channel nearest to it, and the bowl's ends go with it.
func ExampleStrokes() {
	grid := weave.Grid{Across: 2, Along: 2}
	stem := paths.Polyline(at(10.3, 0), at(10.7, 40))
	bowl := paths.Stroke{paths.Cubic{A: at(10.7, 40), B: at(30, 40), C: at(30, 20), D: at(10.5, 20)}}
	out, err := snap.Strokes([]paths.Stroke{stem, bowl}, grid, snap.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range out.Lines {
		fmt.Printf("%s: channel %d, moved %.1f mm\n", l.Axis, l.Channel, l.Moved)
	}
	fmt.Println("stem from", out.Strokes[0].Start(), "to", out.Strokes[0].End())
	fmt.Println("bowl from", out.Strokes[1].Start(), "to", out.Strokes[1].End())
	// Output:
	// across: channel 5, moved -0.5 mm
	// stem from {10 0} to {10 40}
	// bowl from {10 40} to {10 20}
}

// A line drawn too close to a side of the border keeps a channel from it.
func ExampleStrokes_fixed() {
	grid := weave.Grid{Across: 2, Along: 2}
	_, fixed, _, err := weave.Border(50, 50, nil, grid)
	if err != nil {
		fmt.Println(err)
		return
	}
	line := paths.Polyline(at(1.2, 20), at(1.2, 60)) // 0.6 channels from the left side
	out, err := snap.Strokes([]paths.Stroke{line}, grid, snap.Options{Angle: 5, Fixed: fixed})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(out.Lines[0].Channel, len(out.Warnings))
	// Output: 1 0
}
