package hpgl

import (
	"testing"

	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// FuzzRead throws any text at the reader, with a machine and without.
func FuzzRead(f *testing.F) {
	programtest.Seeds(f, "testdata/*.hpgl",
		"IN;SP1;IP0,0,1000,2000;SC0,10,0,10,1,20,30;PU5,5;CI2,5;AA1,1,90;AR2,2,-45,3;EA8,8;RR1,1;PR;PD1,1;SC;",
		"IW0,0,10,10;DT*;LBhello*PD1,2,3;VS3.8;PE<=GeGe_a;PE7>e:c<=YPsYPs_a;", "\x1b.H100;5;6:\x1b%0BPU1,1;@PJL x\nSM*PU2,2;CO\"x\";",
		"SC0,40,0,40,2;PA1,2;DF;NR;PW.3;QQ1;LB", "PE\xbc\xbd\x47\xc2\x47\xc2",
		"PD;AT100,100,200,0;RT5,5,9,9,3;BZ0,100,100,100,100,0;BR1,2,3,4,5,6;EW50,30,90;WG9,0,360;", "RO90;IR0,0,50,100;SC0,1,0,1;PU1,.5;RO;LT2;PD3,3;",
		"PU10,10;PM0;PD20,10,20,20;PM1;CI5;PU50,50;PD60,60;PM2;EP;FP;IW-5,-5,30,30;EP;", "\x1b%0APU9,9;\x1b%1BPU2,2;",
	)
	plain, packed := programtest.Machine(f, "flatbed-hpgl"), programtest.Machine(f, "flatbed-hpgl2")
	packed.Calib.Scale = [2]float64{1.01, 0.99}
	f.Fuzz(func(t *testing.T, data []byte, known bool) {
		z := programtest.Fuzzing{Codec: codec, To: packed, Time: fuzzTime(plain),
			// A wild number makes a curve of kilometres: as many chords as it takes
			// to be within a ten-thousandth of that do.
			Tolerance: func(p program.Program) float64 { return max(0.05, 1e-4*programtest.Span(p)) },
			// Rounding to units comes on top.
			Slack: func(p program.Program) float64 { return p.Tolerance + 0.05 },
		}
		if known {
			z.From = &packed
		}
		z.Check(t, data)
	})
}

func fuzzTime(m profiles.Machine) func([]program.Block) float64 {
	return func(b []program.Block) float64 { return motion.Time(b, motion.LimitsOf(m)).Total }
}
