package svg

import (
	"reflect"
	"testing"

	"weftplot/paths"
	"weftplot/paths/bounded/boundedtest"
	"weftplot/paths/svg/shape"
	"weftplot/paths/svg/text"
)

// tight are limits small enough for the fuzzer to reach every bound.
var tight = Options{MaxBytes: 1 << 16, MaxElements: 2000, MaxUses: 500, MaxCurves: 20_000}

// FuzzRead holds every reading to what Read promises: a fault or a design whose
// strokes are whole, finite and within range, and the same one on any number of cores.
func FuzzRead(f *testing.F) {
	for _, tt := range features {
		f.Add([]byte(inPage(tt.body)))
	}
	for _, tt := range dashed {
		f.Add([]byte(inPage(tt.body)))
	}
	for _, tt := range filled {
		f.Add([]byte(inPage(tt.body)))
	}
	for _, tt := range lettering {
		f.Add([]byte(inPage(tt.body)))
	}
	for _, tt := range clippedFills {
		f.Add([]byte(inPage(tt.body)))
	}
	for _, tt := range maskedFills {
		f.Add([]byte(inPage(tt.body)))
	}
	f.Add([]byte("<!DOCTYPE svg [<!ENTITY a 'fill:red'><!ENTITY b \"<path style='&a;' d='M0 0h9v9z'/>\">]>" + inPage("&b;<text>&#65;&c;</text>")))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, dashes := range []bool{false, true} {
			opt := tight
			if opt.Dashes = dashes; dashes {
				opt.Unite, opt.Fonts = true, []text.Font{goFont}
			} else {
				opt.Words = true
			}
			d, _, err := readOn(1, 1, data, opt)
			if more, _, fault := readOn(2, 1, data, opt); !reflect.DeepEqual(more, d) || !reflect.DeepEqual(fault, err) {
				t.Fatalf("another design on two cores than on one: %.300v, %v; want %.300v, %v", more, fault, d, err)
			}
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
	boundedtest.CheckDesign(t, d, 3*shape.Farthest)
	for _, l := range d.Layers {
		for _, s := range l.Strokes {
			if s.Filled != (s.Width == 0) {
				t.Fatalf("line %d: width %v, filled %v", s.Line, s.Width, s.Filled)
			}
		}
	}
}

func TestFuzzCorpus(t *testing.T) { boundedtest.Corpus(t) }
