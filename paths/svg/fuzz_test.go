package svg

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/svg/shape"
	"weftplot/paths/svg/text"
)

// tight are options small enough that the fuzzer reaches every bound.
var tight = Options{MaxBytes: 1 << 16, MaxElements: 2000, MaxUses: 500, MaxCurves: 20_000}

// FuzzRead holds every reading to what Read promises: a fault or a design whose
// strokes are whole, finite and within range, and the same one each time.
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
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, dashes := range []bool{false, true} {
			opt := tight
			if opt.Dashes = dashes; dashes {
				opt.Unite, opt.Fonts = true, []text.Font{goFont}
			}
			d, err := Read("fuzz.svg", data, opt)
			var bad *fault.Error
			if err != nil {
				if !errors.As(err, &bad) || bad.What == "" || bad.Where == "" {
					t.Fatalf("error %v is no whole fault", err)
				}
				continue
			}
			checkDesign(t, d)
		}
	})
}

// checkDesign checks what holds of every design that is read.
func checkDesign(t interface{ Fatalf(string, ...any) }, d paths.Design) {
	if len(d.Layers) == 0 {
		t.Fatalf("a design without layers and without a fault")
	}
	reach := paths.Rect{Min: paths.Point{X: -3 * shape.Farthest, Y: -3 * shape.Farthest}, Max: paths.Point{X: 3 * shape.Farthest, Y: 3 * shape.Farthest}}
	for _, l := range d.Layers {
		if len(l.Strokes) == 0 || l.Name == "" {
			t.Fatalf("layer %q has %d strokes", l.Name, len(l.Strokes))
		}
		for _, s := range l.Strokes {
			if err := s.Validate(); err != nil {
				t.Fatalf("line %d, %s: %v", s.Line, s.Element, err)
			}
			if len(s.Stroke) == 0 || s.Line < 1 || !(s.Width >= 0) || s.Filled != (s.Width == 0) {
				t.Fatalf("stroke of %d curves: line %d, width %v, filled %v", len(s.Stroke), s.Line, s.Width, s.Filled)
			}
			if b := s.Bounds(); !reach.Contains(b.Min) || !reach.Contains(b.Max) {
				t.Fatalf("stroke reaches to %v", b)
			}
		}
	}
	for _, n := range d.Notes {
		if n.Code == "" || n.Message == "" {
			t.Fatalf("empty note %+v", n)
		}
	}
}

// The corpus is part of the tests; without it they would pass in silence.
func TestFuzzCorpus(t *testing.T) {
	if list, err := filepath.Glob(filepath.Join("testdata", "fuzz", "FuzzRead", "*")); err != nil || len(list) < 10 {
		t.Errorf("%d files in the fuzz corpus (%v), want 10 and more", len(list), err)
	}
	if _, err := os.Stat(filepath.Join("testdata", "fuzz", "FuzzRead")); err != nil {
		t.Error(err)
	}
}
