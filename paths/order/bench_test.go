package order

import (
	"math"
	"runtime"
	"testing"
	"time"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

// BenchmarkOrder reports the ratio of travel to the best known, the same ratio
// for nearest neighbour, and the memory taken from the system, for every set
// and effort.
func BenchmarkOrder(b *testing.B) {
	for _, s := range ordertest.Sets {
		strokes := s.Strokes(b)
		nearest := math.NaN()
		if len(strokes) <= 5000 {
			nearest = ordertest.NearestFirst(strokes) / s.Best
		}
		for _, effort := range []Effort{Quick, Normal, Thorough} {
			b.Run(s.Name+"/"+effort.String(), func(b *testing.B) {
				var got Result
				for b.Loop() {
					got, _ = Order([][]paths.Stroke{strokes}, Options{Effort: effort})
				}
				var m runtime.MemStats
				runtime.ReadMemStats(&m)
				b.ReportMetric(got.TravelMM/s.Best, "x-best")
				b.ReportMetric(nearest, "nearest-x-best")
				b.ReportMetric(float64(m.Sys)/(1<<20), "MB")
			})
		}
	}
}

// BenchmarkOrderGrowth reports the exponent with which the time grows from
// 1,000 through 10,000 to 100,000 strokes: 1 is linear.
func BenchmarkOrderGrowth(b *testing.B) {
	for _, effort := range []Effort{Quick, Normal} {
		b.Run(effort.String(), func(b *testing.B) {
			took := map[int]float64{}
			for b.Loop() {
				for _, n := range []int{1000, 10_000, 100_000} {
					strokes := ordertest.Uniform(n, 1)
					start := time.Now()
					if _, err := Order([][]paths.Stroke{strokes}, Options{Effort: effort}); err != nil {
						b.Fatal(err)
					}
					took[n] = time.Since(start).Seconds()
				}
			}
			b.ReportMetric(math.Log10(took[10_000]/took[1000]), "exponent-1k-10k")
			b.ReportMetric(math.Log10(took[100_000]/took[10_000]), "exponent-10k-100k")
		})
	}
}
