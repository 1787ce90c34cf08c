package choice_test

import (
	"fmt"

	"weftplot/paths/weave/snap/choice"
)

// Five lines 2.4 channels apart: each spacing gets the same count.
func ExampleChannels() {
	var lines []choice.Line
	for i := range 5 {
		lines = append(lines, choice.Line{Extent: choice.Extent{At: 3 + 2.4*float64(i), Lo: 0, Hi: 20}, Weight: 20})
	}
	a := choice.Channels(choice.Problem{Lines: lines})
	fmt.Println(a.Channel, "proved:", a.Proved)
	for _, r := range a.Recurring {
		fmt.Printf("%.1f channels, %d times: %d each\n", r.Size, len(r.Places), r.Count)
	}
	// Output:
	// [4 6 8 10 12] proved: true
	// 2.4 channels, 4 times: 2 each
}
