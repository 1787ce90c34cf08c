package cloth

import (
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

// BenchmarkStrokes maps 10,000 straights, each with a curve, through a fitted cloth.
func BenchmarkStrokes(b *testing.B) {
	r := rand.New(rand.NewPCG(29, 30))
	c := cloth{1.02, 0.98, 0.04, 0.03, 0.01, true}
	reg, err := Fit(c.marks(r, 0.3, 5, 5), FitOptions{Expect: monksCount, Extent: rugSize})
	if err != nil {
		b.Fatal(err)
	}
	strokes := make([]paths.Stroke, 10000)
	for i := range strokes {
		x, y, h := r.Float64()*580, r.Float64()*870, 7+20*r.Float64()
		strokes[i] = paths.Stroke{
			paths.Line{A: pt(x, y), B: pt(x, y+h)},
			paths.Cubic{A: pt(x, y+h), B: pt(x+3, y+h+2), C: pt(x+5, y+h-2), D: pt(x+6, y+h-5)},
		}
	}
	for b.Loop() {
		curves := 0
		for _, s := range strokes {
			curves += len(reg.Stroke(s, monks, 0.005))
		}
		b.ReportMetric(float64(curves), "curves")
	}
}
