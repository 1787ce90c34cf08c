package hpgl

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
// fault or a program that is sound, that can be timed, and that the writers take
// or refuse with a fault.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*.hpgl")
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
		"IN;SP1;IP0,0,1000,2000;SC0,10,0,10,1,20,30;PU5,5;CI2,5;AA1,1,90;AR2,2,-45,3;EA8,8;RR1,1;PR;PD1,1;SC;",
		"IW0,0,10,10;DT*;LBhello*PD1,2,3;VS3.8;PE<=GeGe_a;PE7>e:c<=YPsYPs_a;", "\x1b.H100;5;6:\x1b%0BPU1,1;@PJL x\nSM*PU2,2;CO\"x\";",
		"SC0,40,0,40,2;PA1,2;DF;NR;PW.3;QQ1;LB", "PE\xbc\xbd\x47\xc2\x47\xc2",
		"PD;AT100,100,200,0;RT5,5,9,9,3;BZ0,100,100,100,100,0;BR1,2,3,4,5,6;EW50,30,90;WG9,0,360;", "RO90;IR0,0,50,100;SC0,1,0,1;PU1,.5;RO;LT2;PD3,3;",
		"PU10,10;PM0;PD20,10,20,20;PM1;CI5;PU50,50;PD60,60;PM2;EP;FP;IW-5,-5,30,30;EP;", "\x1b%0APU9,9;\x1b%1BPU2,2;",
	} {
		f.Add([]byte(text), false)
	}
	plain, packed := machine(f, "flatbed-hpgl"), machine(f, "flatbed-hpgl2")
	packed.Calib.Scale = [2]float64{1.01, 0.99}
	f.Fuzz(func(t *testing.T, data []byte, known bool) {
		m := &packed
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
		if total := motion.Time(p.Blocks, motion.LimitsOf(plain)).Total; !(total >= 0) {
			t.Fatalf("it takes %v s", total)
		}
		// A wild number makes a curve of kilometres: as many chords as it takes
		// to be within a ten-thousandth of that do.
		reach := program.Total(p).Reach
		p.Tolerance = 0.05
		if !reach.IsEmpty() {
			p.Tolerance = max(p.Tolerance, reach.Width()/1e4, reach.Height()/1e4)
		}
		text, err := Write(p, packed)
		if err != nil {
			if !errors.As(err, &bad) {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		back, err := Read("again", text, &packed)
		if err != nil {
			t.Fatalf("what was written is not read: %v\n%s", err, text)
		}
		// Read and written once more it is the same, but for rounding to units.
		back.Tolerance = p.Tolerance
		again, err := Write(back, packed)
		if err != nil {
			t.Fatalf("what was read is not written: %v\n%s", err, text)
		}
		twice, err := Read("twice", again, &packed)
		if err != nil {
			t.Fatalf("what was written again is not read: %v\n%s", err, again)
		}
		if wrong := programtest.Alike(back.Strokes(), twice.Strokes(), p.Tolerance+0.05); wrong != "" {
			t.Fatalf("%s\n%s\n%s", wrong, text, again)
		}
	})
}
