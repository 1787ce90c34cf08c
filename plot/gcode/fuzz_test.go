package gcode

import (
	"testing"

	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// FuzzRead throws any text at the reader, with a machine and without.
func FuzzRead(f *testing.F) {
	programtest.Seeds(f, "testdata/*.gcode",
		"%\nN10 G20 G91 G0 X1 Y-2 (MSG, hello)\nM0\n/G1 Z-.5 F60\nG3 X.1 I.05;c\nG2 J1 Y2\nG2X3R-4\nM30\n%",
		"G92 X5\nG4 P1.5 X1\nT3 M6\nM3 S90\nG1 X1 Z-1 F100\nG92.1\nG18 G2 X3 I1\nM5\nM2",
		"g0x +0. 12 34y 7\nG80\nX1", "(a (b)", "#1=2", "G53 G0 X1\nG28\nG10 L2 P1 X1\nG93 G1 F2 X1",
		"#3=15 #[#3-14]=[2**3/atan[1]/[1]]\nG1 X#3 F[sqrt[9]*100] (open\nG91 G81 X1 Z-1 R1 L3\nG80", "G90.1 G3 X1 I0 J0*12\nG55 G10 L20 P2 Y1\nG30 Z1\nG92.3",
		"M3 S30\nG0 X1\nS90\nG1 X2 F60\nS30\nG0 X3\nM2", "G0 Z5\nX1\nG1 Z1 F60\nX2\nG0 Z5\nX3\nM30", "G0 X1\nG1 X2 F60\nG0 X3\nG2 X4 R1",
	)
	servo, gantry := programtest.Machine(f, "gantry-servo"), programtest.Machine(f, "practice")
	gantry.Calib.Scale = [2]float64{1.01, 0.99}
	f.Fuzz(func(t *testing.T, data []byte, known bool) {
		z := programtest.Fuzzing{Codec: codec, To: servo, Time: fuzzTime(servo), Lifts: true,
			Tolerance: func(program.Program) float64 { return 0 },
			// Numbers have four decimals, and a circle of kilometres is known to a
			// millionth.
			Slack: func(p program.Program) float64 { return max(0.01, 1e-6*programtest.Span(p)) },
		}
		if known {
			z.From = &gantry
		}
		z.Check(t, data)
	})
}

func fuzzTime(m profiles.Machine) func([]program.Block) float64 {
	return func(b []program.Block) float64 { return motion.Time(b, motion.LimitsOf(m)).Total }
}
