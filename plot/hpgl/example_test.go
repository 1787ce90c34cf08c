package hpgl_test

import (
	"context"
	"fmt"

	"weftplot/paths"
	"weftplot/plot/hpgl"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// A corner of a border, drawn by a flatbed plotter whose unit is 0.025 mm.
func ExampleWrite() {
	m, err := profiles.MachineNamed("flatbed-hpgl")
	if err != nil {
		fmt.Println(err)
		return
	}
	a, b, c := paths.Point{X: 50, Y: 40}, paths.Point{X: 70, Y: 40}, paths.Point{X: 70, Y: 55}
	text, err := hpgl.Write(context.Background(), program.Program{Blocks: []program.Block{
		{Kind: program.Travel, Curve: paths.Line{B: a}},
		{Kind: program.PenDown},
		{Kind: program.Draw, Curve: paths.Line{A: a, B: b}, Feed: 50},
		{Kind: program.Draw, Curve: paths.Line{A: b, B: c}, Feed: 50},
		{Kind: program.PenUp},
		{Kind: program.Travel, Curve: paths.Line{A: c, B: m.ParkAt()}},
	}}, m)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(string(text))
	// Output:
	// IN;
	// SP1;
	// VS5;
	// PUPA2000,1600;
	// PDPR800,0;
	// PR0,600;
	// PUPA0,0;
	// SP0;
}

// What is legal and not drawn is noted.
func ExampleRead() {
	p, err := hpgl.Read(context.Background(), "hem.plt", []byte("IN;SP2;PU400,400;PD800,400;LBhem\x03;PU;"), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range p.Drawn() {
		fmt.Printf("pen %d draws %.0f mm\n", d.Pen, d.Length())
	}
	for _, n := range p.Doubts {
		fmt.Printf("line %d: %s\n", n.Line, n.Message)
	}
	// Output:
	// pen 2 draws 10 mm
	// line 1: a label is not drawn
}

// A label lasts up to its terminator, whatever stands in it.
func ExampleInstructions() {
	text := "IN;PU1,1;LBred; then blue\x03SP2;"
	for _, i := range hpgl.Instructions([]byte(text)) {
		fmt.Printf("%q\n", text[i.Start:i.End])
	}
	// Output:
	// "IN;"
	// "PU1,1;"
	// "LBred; then blue\x03"
	// "SP2;"
}
