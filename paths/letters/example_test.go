package letters_test

import (
	"fmt"
	"log"

	"weftplot/paths"
	"weftplot/paths/letters"
	"weftplot/paths/weave"
)

// A word nine rows high on monk's cloth: its stems lie in channels.
func ExampleSet() {
	count, err := paths.ParseCount("12x13/in")
	if err != nil {
		log.Fatal(err)
	}
	grid, err := weave.NewGrid(count)
	if err != nil {
		log.Fatal(err)
	}
	text, err := letters.Set("HILL", letters.Options{Height: 9, Grid: grid})
	if err != nil {
		log.Fatal(err)
	}
	for _, l := range text.Letters {
		fmt.Printf("%s in channel %g, %d wide, %d strokes\n", l.Text, l.At.Across, l.Width, l.Last-l.First)
	}
	for _, s := range text.Straights[:3] {
		fmt.Printf("%s %d, from %g to %g\n", s.Axis, s.Channel, s.From, s.To)
	}
	// Output:
	// H in channel 0, 6 wide, 3 strokes
	// I in channel 9, 0 wide, 1 strokes
	// L in channel 12, 4 wide, 1 strokes
	// L in channel 18, 4 wide, 1 strokes
	// across 0, from 0 to 9
	// across 6, from 0 to 9
	// along 5, from 0 to 6
}

func ExampleNamed() {
	a, err := letters.Named("counted")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(a.Least(), a.Covers('Ž'), a.Covers('Ж'))
	// Output: 5 true false
}

// A name is lettered up the right-hand side of a rug that is drawn from its back.
func ExamplePose() {
	cloth := weave.Grid{Across: 2, Along: 1.6}
	pose := letters.Pose{At: weave.Place{Across: 120, Along: 10}, Quarters: 1, Mirrored: true}
	name, err := letters.Set("Žofie", letters.Options{Height: 9, Grid: pose.Grid(cloth), Most: 60})
	if err != nil {
		fmt.Println(err)
		return
	}
	lo, hi := pose.Box(name)
	fmt.Printf("%d strokes from channel %g, %g to %g, %g\n", len(pose.Strokes(name)), lo.Across, lo.Along, hi.Across, hi.Along)
	// Output:
	// 8 strokes from channel 120, 10 to 133, 45
}
