package gcode_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/gcode"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// A ring of 20 mm across, drawn by the practice machine.
func ExampleWrite() {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		fmt.Println(err)
		return
	}
	ring := paths.Circle(paths.Point{X: 50, Y: 40}, 10)
	text, err := gcode.Write(program.Program{Blocks: []program.Block{
		{Kind: program.Remark, Text: "a ring"},
		{Kind: program.Travel, Curve: paths.Line{B: ring.Start()}},
		{Kind: program.PenDown},
		{Kind: program.Draw, Curve: ring, Feed: 30},
		{Kind: program.PenUp},
		{Kind: program.Travel, Curve: paths.Line{A: ring.End(), B: m.ParkAt()}},
	}}, m)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(string(text))
	// Output:
	// (weftplot program for machine practice)
	// (a ring)
	// G21 G17 G90 G94
	// G0 Z5
	// X60Y40
	// G1 Z0 F600
	// G3X60I-10F1800
	// G0 Z5
	// X0Y0
	// M2
}
