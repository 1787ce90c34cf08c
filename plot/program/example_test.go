package program_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/program"
)

// Two hem lines of 20 mm, of which the second alone is drawn again.
func ExampleProgram_Pick() {
	at := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	p := program.Program{Blocks: []program.Block{
		{Kind: program.Travel, Curve: paths.Line{B: at(0, 10)}},
		{Kind: program.Draw, Curve: paths.Line{A: at(0, 10), B: at(20, 10)}},
		{Kind: program.PenUp},
		{Kind: program.Travel, Curve: paths.Line{A: at(20, 10), B: at(20, 15)}},
		{Kind: program.Draw, Curve: paths.Line{A: at(20, 15), B: at(0, 15)}},
		{Kind: program.PenUp},
	}}
	second, numbers := p.Pick(program.Part{From: 2, To: 2})
	all, one := program.Total(p), program.Total(second)
	fmt.Printf("%d strokes, %.0f mm drawn, %.0f mm of travel\n", all.Strokes, all.DrawMM, all.TravelMM)
	fmt.Printf("stroke %v: %.0f mm drawn, %.0f mm of travel\n", numbers, one.DrawMM, one.TravelMM)
	// Output:
	// 2 strokes, 40 mm drawn, 15 mm of travel
	// stroke [2]: 20 mm drawn, 5 mm of travel
}
