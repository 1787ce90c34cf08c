package gcode_test

import (
	"context"
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
	text, err := gcode.Write(context.Background(), program.Program{Blocks: []program.Block{
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
	// (weftplot:1 machine practice)
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

// A program of another make, read without knowing the machine: Z of 0 and below
// is taken for pen down.
func ExampleRead() {
	p, err := gcode.Read(context.Background(), "bench.nc", []byte("G20 G90\nG0 X1 Y1\nG1 Z-.1 F20\nX3\nY2\nG0 Z1\nM2\n"), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range p.Strokes() {
		fmt.Printf("%d curves, %.1f mm, from %.1f, %.1f\n", len(s), s.Length(), s.Start().X, s.Start().Y)
	}
	// Output:
	// 2 curves, 76.2 mm, from 25.4, 25.4
}

// What goes over the wire of a program: no comments, and nothing after its end.
func ExampleLines() {
	text := "G21\n(the hem)\nG0 X10\n\nM2\nG0 X99\n"
	for _, l := range gcode.Lines(text) {
		fmt.Printf("%d: %q\n", l.Number, text[l.Start:l.End])
	}
	// Output:
	// 1: "G21\n"
	// 3: "G0 X10\n"
	// 5: "M2\n"
}
