package sim_test

import (
	"fmt"
	"strings"
	"time"

	"weftplot/device/sim"
	"weftplot/profiles"
)

// A plotter in simulated time: bytes arrive at the baud rate, and time passes
// only while something waits.
func ExampleNewLine() {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		fmt.Println(err)
		return
	}
	plotter := sim.New(m)
	port := sim.NewLine(plotter, m.Serial)
	port.Write([]byte("G21 G90\nG0 X10 Y20\nG1 Z0 F600\nG1 X40 F2400\nG0 Z5\n"))
	port.Settle(60)
	cloth := plotter.Cloth()
	fmt.Printf("%d stroke, %.0f mm drawn, %.1f mm travelled, in %v\n",
		len(cloth.Strokes()), cloth.Drawn, cloth.Travelled, port.Now().Round(time.Second))
	// Output:
	// 1 stroke, 30 mm drawn, 22.4 mm travelled, in 2s
}

// A fault is scripted: the controller restarts in the middle of a stroke. It
// answers in the manner of its profile.
func ExampleLine_WithFaults() {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		fmt.Println(err)
		return
	}
	port := sim.NewLine(sim.New(m), m.Serial).WithFaults(sim.Fault{At: 1.5, Kind: sim.Restart})
	port.Write([]byte("G1 Z0 F600\nG1 X400 F2400\n"))
	for {
		var said [64]byte
		n, err := port.Read(said[:], 5*time.Second)
		if n == 0 || err != nil {
			break
		}
		fmt.Print(strings.ReplaceAll(string(said[:n]), "\r", ""))
	}
	// Output:
	// practice plotter ready, practice
	// go
	// go
	// practice plotter ready, practice
}
