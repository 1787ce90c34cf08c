package gcode

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"weftplot/paths/fault"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

// FuzzRead throws any text at the reader, with a machine and without: it gives a
// fault or a program that is sound, that can be timed, and that the writer takes
// or refuses with a fault.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*.gcode")
	if err != nil || len(files) == 0 {
		f.Fatal("no programs to start from")
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, true)
	}
	for _, text := range []string{
		"%\nN10 G20 G91 G0 X1 Y-2 (MSG, hello)\nM0\n/G1 Z-.5 F60\nG3 X.1 I.05;c\nG2 J1 Y2\nG2X3R-4\nM30\n%",
		"G92 X5\nG4 P1.5 X1\nT3 M6\nM3 S90\nG1 X1 Z-1 F100\nG92.1\nG18 G2 X3 I1\nM5\nM2",
		"g0x +0. 12 34y 7\nG80\nX1", "(a (b)", "#1=2", "G53 G0 X1\nG28\nG10 L2 P1 X1\nG93 G1 F2 X1",
		"#3=15 #[#3-14]=[2**3/atan[1]/[1]]\nG1 X#3 F[sqrt[9]*100] (open\nG91 G81 X1 Z-1 R1 L3\nG80", "G90.1 G3 X1 I0 J0*12\nG55 G10 L20 P2 Y1\nG30 Z1\nG92.3",
		"M3 S30\nG0 X1\nS90\nG1 X2 F60\nS30\nG0 X3\nM2", "G0 Z5\nX1\nG1 Z1 F60\nX2\nG0 Z5\nX3\nM30", "G0 X1\nG1 X2 F60\nG0 X3\nG2 X4 R1",
	} {
		f.Add([]byte(text), false)
	}
	servo, gantry := machine(f, "gantry-servo"), machine(f, "practice")
	gantry.Calib.Scale = [2]float64{1.01, 0.99}
	f.Fuzz(func(t *testing.T, data []byte, known bool) {
		m := &gantry
		if !known {
			m = nil
		}
		p, err := Read("fuzz", data, m)
		var bad *fault.Error
		if err != nil {
			if !errors.As(err, &bad) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		if wrong := programtest.Sound(p, len(data)); wrong != "" {
			t.Fatal(wrong)
		}
		if n := len(p.Blocks); n > mostSteps(len(data)) {
			t.Fatalf("%d blocks of %d bytes", n, len(data))
		}
		if total := motion.Time(p.Blocks, motion.LimitsOf(servo)).Total; !(total >= 0) {
			t.Fatalf("it takes %v s", total)
		}
		text, err := Write(p, servo)
		if err != nil {
			if !errors.As(err, &bad) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		back, err := Read("again", text, &servo)
		if err != nil {
			t.Fatalf("what was written is not read: %v\n%s", err, text)
		}
		if a, b := lifted(p), lifted(back); a != b {
			t.Fatalf("%d strokes come back of %d:\n%s", b, a, text)
		}
		// Read and written once more it is the same, but for rounding: numbers
		// have four decimals, and a circle of kilometres is known to a millionth.
		again, err := Write(back, servo)
		if err != nil {
			t.Fatalf("what was read is not written: %v\n%s", err, text)
		}
		twice, err := Read("twice", again, &servo)
		if err != nil {
			t.Fatalf("what was written again is not read: %v\n%s", err, again)
		}
		tol := 0.01
		if reach := program.Total(back).Reach; !reach.IsEmpty() {
			tol = max(tol, 1e-6*max(reach.Width(), reach.Height()))
		}
		if wrong := programtest.Alike(back.Strokes(), twice.Strokes(), tol); wrong != "" {
			t.Fatalf("%s\n%s\n%s", wrong, text, again)
		}
	})
}

// lifted counts the times the pen comes down to draw or to make a dot; a Draw
// with no pen move before it counts too, as it has the pen brought down.
func lifted(p program.Program) int {
	n, down := 0, false
	for _, b := range p.Blocks {
		switch b.Kind {
		case program.PenDown, program.Draw:
			if !down {
				n++
			}
			down = true
		case program.PenUp, program.Travel, program.Pause, program.Pen:
			down = false
		}
	}
	return n
}
