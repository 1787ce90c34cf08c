package fit_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/deviation"
	"weftplot/plot/fit"
)

func ExampleArcs() {
	wave := paths.Stroke{paths.Cubic{B: paths.Point{X: 10, Y: 40}, C: paths.Point{X: 30, Y: -40}, D: paths.Point{X: 40}}}
	arcs := fit.Arcs(wave, 0.05)
	fmt.Println(len(arcs) < len(fit.Lines(wave, 0.05)), deviation.Of(wave, arcs, 0.005) < 0.05)
	// Output:
	// true true
}
