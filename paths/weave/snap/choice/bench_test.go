package choice

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// BenchmarkChoose times the choice of channels alone.
func BenchmarkChoose(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		for _, rug := range []struct {
			name   string
			spread float64 // channels of width to a line
		}{{"dense", 300 / float64(n)}, {"wide", 1}} {
			b.Run(fmt.Sprintf("%s/%d", rug.name, n), func(b *testing.B) {
				r := rand.New(rand.NewPCG(13, 14))
				lines := make([]Line, n)
				for i := range lines {
					lo := r.Float64() * 400
					h := 3 + r.Float64()*12
					lines[i] = Line{Extent: Extent{r.Float64() * rug.spread * float64(n), lo, lo + h}, Weight: h}
				}
				for b.Loop() {
					chooseChannels(free(lines))
				}
			})
		}
	}
}
