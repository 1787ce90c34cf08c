package dxf

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every design of our own is read whole, with no notes except those that its
// file is made to show.
func TestDesigns(t *testing.T) {
	files, err := filepath.Glob("../../testdata/designs/*.dxf")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d designs found (%v)", len(files), err)
	}
	expected := map[string]string{"harbour-light.dxf": "text-not-drawn hidden"}
	for _, file := range files {
		name := filepath.Base(file)
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d, err := Read(name, data, Options{Proportions: true})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		checkDesign(t, d)
		if got := codes(d); got != expected[name] {
			t.Errorf("%s: notes %q, want %q", name, got, expected[name])
		}
	}
}

// Reading takes time in proportion to the file: each case has a second one four
// times as large.
func BenchmarkRead(b *testing.B) {
	for _, n := range []int{10_000, 40_000} {
		for _, c := range []struct{ name, head, each, foot string }{
			{"lines", "", "0 LINE 8 Ink 10 1 20 2 11 3 21 4 ", ""},
			{"vertices", "0 LWPOLYLINE ", "10 1 20 2 42 0.5 10 2 20 3 ", ""},
			{"inserts", "", "0 INSERT 2 B 10 5 20 5 50 30 ", ""},
			{"spline", "0 SPLINE 71 1 40 0 40 0 ", "10 1 20 2 10 3 20 3 40 1 40 1 ", ""},
		} {
			entities := c.head + strings.Repeat(c.each, n) + c.foot
			file := []byte(withBlocks("0 BLOCK 2 B 0 ARC 40 2 50 0 51 90 0 ENDBLK", entities))
			b.Run(fmt.Sprintf("%s-%d", c.name, n), func(b *testing.B) {
				b.SetBytes(int64(len(file)))
				b.ReportAllocs()
				for b.Loop() {
					if _, err := Read("", file, Options{}); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/element")
			})
		}
	}
}
