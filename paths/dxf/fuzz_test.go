package dxf

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/bounded/boundedtest"
)

// tight are limits small enough for the fuzzer to reach every bound.
var tight = Options{MaxBytes: 1 << 16, MaxEntities: 2000, MaxInserts: 500, MaxCurves: 20_000, MaxDepth: 8}

// FuzzRead holds every reading to what Read promises: a fault or a design whose
// strokes are whole, finite and within range.
func FuzzRead(f *testing.F) {
	f.Add([]byte(withBlocks("0 BLOCK 2 B 10 1 20 1 0 ARC 40 2 50 0 51 90 0 ENDBLK", "0 INSERT 2 B 41 -2 70 2 71 2 44 3 45 4 50 30 210 0 220 0.3 230 1")))
	f.Add([]byte(inModel("0 SPLINE 70 12 71 2 40 0 40 0 40 0 40 1 40 1 40 1 41 1 41 0.7 41 1 10 0 20 0 10 3 20 3 10 6 20 0")))
	f.Add([]byte(inModel("0 SPLINE 70 1 71 3 11 0 21 0 11 4 21 0 11 4 21 4 11 0 21 3 12 1 22 1")))
	f.Add([]byte(inModel("0 LWPOLYLINE 90 2 70 1 10 0 20 0 42 1 10 4 20 0 42 -0.3 0 ELLIPSE 10 0 20 0 11 3 21 1 40 0.5 41 0.3 42 4")))
	f.Add([]byte(inModel("0 POLYLINE 66 1 70 1 0 VERTEX 10 0 20 0 42 1 0 VERTEX 10 4 20 0 0 SEQEND 0 POINT 10 3 0 TEXT 1 x")))
	f.Add([]byte(inModel(`0 TEXT 10 1 20 2 40 5 50 30 71 4 72 3 11 4 21 4 1 %%u20%%d\U+00C9 0 MTEXT 40 6 71 5 1 {\H2x;one}\Ptwo\S1^2;\`)))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, opt := range []Options{{}, {Unit: 1000, Words: true}, {Proportions: true}} {
			all := tight
			all.Unit, all.Proportions, all.Words = opt.Unit, opt.Proportions, opt.Words
			d, err := Read("fuzz.dxf", data, all)
			if err != nil {
				boundedtest.CheckError(t, err)
				continue
			}
			checkDesign(t, d)
		}
	})
}

// checkDesign checks what holds of every design that is read.
func checkDesign(t boundedtest.TB, d paths.Design) {
	t.Helper()
	boundedtest.CheckDesign(t, d, 4*farthest)
}

func TestFuzzCorpus(t *testing.T) { boundedtest.Corpus(t) }
