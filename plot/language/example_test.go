package language_test

import (
	"context"
	"fmt"

	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Of gives the language of a machine, which knows the texts that steer a pen.
func ExampleOf() {
	for _, name := range []string{"practice", "flatbed-hpgl"} {
		m, err := profiles.MachineNamed(name)
		if err != nil {
			fmt.Println(err)
			return
		}
		l, err := language.Of(m.Language)
		if err != nil {
			fmt.Println(err)
			return
		}
		text, at := l.MoveTo(m, paths.Point{X: 10.0004, Y: 20})
		fmt.Printf("%q goes to %.3f, %.3f\n", text, at.X, at.Y)
	}
	// Output:
	// "G0 X10.000 Y20.000\n" goes to 10.000, 20.000
	// "PU400,800;" goes to 10.000, 20.000
}

// A program that no one knows anything of is read, and a machine is asked
// whether it can be given it.
func ExampleFits() {
	p, err := language.ReadAny(context.Background(), "hem.plt", []byte("IN;SP1;PU400,400;PD800,400;PU;"), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Language)
	fmt.Println(language.Fits("hem.plt", p, m))
	// Output:
	// hpgl
	// hem.plt: the program is in HP-GL, and the machine "practice" reads G-code
}

// Cut divides a program into what goes over the wire; pauses are for the person.
func ExampleCut() {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		fmt.Println(err)
		return
	}
	text := []byte("G21 G90\n(the hem)\nG0 X10\n(MSG, put the red pen in)\nM0\nG0 X0\nM2\n")
	p, err := language.ReadAny(context.Background(), "hem.gcode", text, &m)
	if err != nil {
		fmt.Println(err)
		return
	}
	chunks, err := language.Cut(p, text, m)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range chunks {
		if c.Pause {
			fmt.Println("ask:", c.Words)
		} else {
			fmt.Printf("send %q\n", text[c.Start:c.End])
		}
	}
	// Output:
	// send "G21 G90\n"
	// send "G0 X10\n"
	// ask: put the red pen in
	// send "G0 X0\n"
	// send "M2\n"
}

// A job that was held in the middle of a line goes on where the pen stands.
func ExampleReenter() {
	a, b := paths.Point{X: 10, Y: 10}, paths.Point{X: 50, Y: 10}
	p := program.Program{Blocks: []program.Block{
		{Kind: program.Travel, Curve: paths.Line{B: a}},
		{Kind: program.PenDown},
		{Kind: program.Draw, Curve: paths.Line{A: a, B: b}},
		{Kind: program.PenUp},
	}}
	rest, begun, ok := language.Reenter(p, 0, 3, paths.Point{X: 35, Y: 10.02}, 0.1)
	fmt.Println(ok, begun)
	for _, b := range rest.Blocks {
		if b.Curve != nil {
			fmt.Printf("to %.0f, %.0f\n", b.Curve.End().X, b.Curve.End().Y)
		}
	}
	// Output:
	// true 0
	// to 35, 10
	// to 50, 10
}
