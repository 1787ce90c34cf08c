//go:build unix

package snap

import (
	"math"
	"syscall"
	"testing"
)

// cpu returns the user CPU seconds of this process so far.
func cpu() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return float64(u.Utime.Sec) + float64(u.Utime.Usec)/1e6
}

// BenchmarkHeaps reports the exponent with which the user CPU time grows from 2,000 to
// 8,000 strokes: 1 is linear.
func BenchmarkHeaps(b *testing.B) {
	for _, h := range heapsOf {
		b.Run(h.name, func(b *testing.B) {
			took := map[int]float64{2000: math.Inf(1), 8000: math.Inf(1)}
			for b.Loop() {
				for n := range took {
					in := h.of(n)
					start := cpu()
					mustSnap(b, in, monks, Options{Diagonals: true})
					took[n] = min(took[n], cpu()-start)
				}
			}
			b.ReportMetric(math.Log(took[8000]/took[2000])/math.Log(4), "exponent")
			b.ReportMetric(took[8000], "s/8000")
		})
	}
}
