package join

import (
	"fmt"
	"testing"
)

func BenchmarkStrokes(b *testing.B) {
	for _, side := range []int{20, 70, 220} {
		strokes := lattice(side, side)
		b.Run(fmt.Sprint(len(strokes)), func(b *testing.B) {
			for b.Loop() {
				if _, _, err := Strokes(strokes, Options{Tolerance: 0.05}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
