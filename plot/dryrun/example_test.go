package dryrun_test

import (
	"context"
	"fmt"
	"log"

	"weftplot/plot/dryrun"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

func ExampleNew() {
	machine, err := profiles.MachineNamed("practice")
	if err != nil {
		log.Fatal(err)
	}
	p, err := language.ReadAny(context.Background(), "mat.gcode", []byte("G21 G90\nG0 X10 Y10\nM3\nG1 X700 Y10 F1200\nM5\n"), &machine)
	if err != nil {
		log.Fatal(err)
	}
	review, err := dryrun.New(p, machine, program.Part{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(review.Summary.Strokes, "stroke,", review.Summary.DrawMM, "mm")
	for _, limit := range review.Summary.Limits {
		fmt.Println(limit.Message)
	}
	// Output:
	// 1 stroke, 690 mm
	// line 4 leaves the reach of machine practice by 100.0 mm at the right
}
