package weave_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// Monk's cloth with 12 channels an inch across and 13 along: where is the hole
// 24 channels across and 26 along from the rug's corner?
func ExampleGrid() {
	grid, err := weave.NewGrid(paths.Count{Across: 12 / paths.MMPerInch, Along: 13 / paths.MMPerInch})
	if err != nil {
		fmt.Println(err)
		return
	}
	at := grid.At(weave.Place{Across: 24, Along: 26})
	fmt.Printf("%.1f mm across, %.1f mm along\n", at.X, at.Y)
	fmt.Printf("lines along the cloth lie %.2f mm apart\n", grid.Pitch(weave.Across))
	// Output:
	// 50.8 mm across, 50.8 mm along
	// lines along the cloth lie 2.12 mm apart
}

// Two lines with four rows of holes left empty between them: the inner one lies
// in the fifth channel.
func ExampleBorder() {
	strokes, fixed, inset, err := weave.Border(96, 104, []int{4}, weave.Grid{Across: 2, Along: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(strokes), "lines, the inner one", inset, "channels in")
	fmt.Println(strokes[1].Start(), fixed[4].Axis, fixed[4].Channel)
	// Output:
	// 2 lines, the inner one 5 channels in
	// {10 10} along 5
}
