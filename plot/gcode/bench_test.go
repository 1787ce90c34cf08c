package gcode

import (
	"context"
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

// BenchmarkWrite writes a thousand arcs of all sizes and directions and tells
// what one takes.
func BenchmarkWrite(b *testing.B) {
	var s paths.Stroke
	at := paths.Point{X: 300, Y: 300}
	for i := range 1000 {
		angle := 2.399963 * float64(i) // the golden angle: no two alike
		to := at.Add(paths.Point{X: 8 * math.Cos(angle), Y: 8 * math.Sin(angle)})
		s = append(s, paths.ArcBulge(at, to, 0.02+0.9*math.Mod(0.618034*float64(i), 1)))
		at = to
	}
	p := program.Program{Blocks: programtest.Blocks(30, s), Tolerance: 0.01}
	m := programtest.Machine(b, "practice")
	size := 0
	for b.Loop() {
		text, err := Write(context.Background(), p, m)
		if err != nil {
			b.Fatal(err)
		}
		size = len(text)
	}
	b.ReportMetric(float64(size)/float64(len(s)), "bytes/arc")
}
