package snap

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

// crowd is a design of so many upright stems, with a slanted foot on each,
// strewn evenly over a rug whose size grows with them as a letter's stems would.
func crowd(n int, width, height float64) []paths.Stroke {
	r := rand.New(rand.NewPCG(11, 12))
	out := make([]paths.Stroke, n)
	for i := range out {
		x, y := r.Float64()*width, r.Float64()*height
		lean := (r.Float64() - 0.5) * 0.4
		h := 7 + 20*r.Float64()
		out[i] = paths.Stroke{
			paths.Line{A: pt(x, y), B: pt(x+lean, y+h)},
			paths.Cubic{A: pt(x+lean, y+h), B: pt(x+3, y+h+2), C: pt(x+5, y+h-2), D: pt(x+6, y+h-5)},
		}
	}
	return out
}

func BenchmarkSnap(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			in := crowd(n, 600, 900)
			for b.Loop() {
				out := mustSnap(b, in, monks, Options{})
				b.ReportMetric(float64(len(out.Lines)), "lines")
			}
		})
	}
}

// BenchmarkSnapBothWays is BenchmarkSnap with half of the stems lying down.
func BenchmarkSnapBothWays(b *testing.B) {
	for _, n := range []int{1000, 10000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			in := crowd(n, 600, 900)
			for i := range in[:n/2] {
				in[i] = in[i].Transform(paths.Affine{B: 1, C: 1})
			}
			for b.Loop() {
				out := mustSnap(b, in, monks, Options{})
				b.ReportMetric(float64(len(out.Lines)), "lines")
			}
		})
	}
}

// BenchmarkSnapRuns is BenchmarkSnap with straights alone, on a rug that grows with
// them.
func BenchmarkSnapRuns(b *testing.B) {
	for _, n := range []int{100, 1000, 10000, 20000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			size := 60 * math.Sqrt(float64(n))
			in := crowd(n, size, size)
			for i := range in {
				in[i] = in[i][:1]
			}
			for b.Loop() {
				out := mustSnap(b, in, monks, Options{})
				b.ReportMetric(float64(len(out.Lines)), "lines")
			}
		})
	}
}
