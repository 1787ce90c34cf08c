package flow_test

import (
	"context"
	"fmt"

	"weftplot/device/flow"
	"weftplot/device/flow/acked"
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/device/timeline"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/profiles"
)

// A control feeds a program to a controller line by line, and says when the
// machine has carried it out.
func Example() {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		fmt.Println(err)
		return
	}
	text := []byte("G21 G90\nG0 Z5\nG0 X30 Y40\n")
	p, err := language.ReadAny(context.Background(), "to a mark", text, &m)
	if err != nil {
		fmt.Println(err)
		return
	}
	job := flow.Job{Program: p, Text: text, Machine: m}
	chunks, err := language.Cut(p, text, m)
	if err != nil {
		fmt.Println(err)
		return
	}
	port := sim.NewLine(sim.New(m), m.Serial)
	c, err := acked.New(line.NewWire(port, m.Serial.Baud), job, timeline.New(p, motion.LimitsOf(m)))
	if err == nil {
		err = c.Greet()
	}
	for _, chunk := range chunks {
		if err == nil {
			err = c.Send(chunk)
		}
	}
	if err == nil {
		err = c.Settle()
	}
	if err != nil {
		fmt.Println(err, c.Halt())
		return
	}
	at, _ := c.Where()
	fmt.Printf("%d of %d bytes acknowledged; the pen is at %g, %g\n", c.Acknowledged(), len(text), at.X, at.Y)
	// Output:
	// 25 of 25 bytes acknowledged; the pen is at 30, 40
}
