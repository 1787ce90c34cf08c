package panels

import (
	"context"
	"math/rand/v2"
	"testing"
)

// A rug of ten thousand strokes on six loads: its plan, and what to find before each.
func BenchmarkTenThousand(b *testing.B) {
	strokes := medley(rand.New(rand.NewPCG(9, 9)), 1000, 1400, 10000)
	opt := Options{Grid: grid, Width: 600, Height: 600, Lap: 2}
	var p Plan
	var err error
	points := 0
	for b.Loop() {
		if p, err = Divide(context.Background(), strokes, opt); err != nil {
			b.Fatal(err)
		}
		points = 0
		for n := range p.Loads {
			at, err := p.Findable(n)
			if err != nil {
				b.Fatal(err)
			}
			points += len(at)
		}
	}
	b.ReportMetric(float64(len(p.Loads)), "loads")
	b.ReportMetric(float64(p.Cuts), "cut")
	b.ReportMetric(float64(len(p.Joints)), "joints")
	b.ReportMetric(float64(points), "points")
}
