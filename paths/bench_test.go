package paths

import "testing"

func BenchmarkCubicLength(b *testing.B) {
	c := Cubic{Point{0, 0}, Point{30, 50}, Point{60, -20}, Point{100, 10}}
	for b.Loop() {
		c.Length()
	}
}

func BenchmarkFlattenCubic(b *testing.B) {
	s := Stroke{Cubic{Point{0, 0}, Point{30, 50}, Point{60, -20}, Point{100, 10}}}
	n := 0
	for b.Loop() {
		n = len(s.Flatten(0.05))
	}
	b.ReportMetric(float64(n), "vertices")
}
