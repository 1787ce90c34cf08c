package proof

import (
	"math"
	"testing"

	"weftplot/paths"
)

// manyScene has n strokes, in rows on a carpet of two metres by one.
func manyScene(n int) Scene {
	s := rugScene("many", 2000, 1000, 100, rect(0, 0, 2400, 1400))
	s.Ink = nil
	rug := s.Rug.Bounds()
	columns := int(math.Sqrt(2 * float64(n)))
	step := rug.Width() / float64(columns)
	for i := range n {
		at := rug.Min.Add(pt(step*float64(i%columns), step*float64(i/columns)))
		s.Ink = append(s.Ink, Ink{
			Stroke: paths.Stroke{paths.Circle(at.Add(pt(step/2, step/2)), 0.4*step)},
			Colour: "#1a1a1a", Width: 0.8, Layer: "many", Pen: "fine-marker",
		})
	}
	s.Travel = travels(pt(0, 0), s.Ink)
	return s
}

func BenchmarkSVG(b *testing.B) {
	s := manyScene(20000)
	for b.Loop() {
		data, err := SVG(s)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(data))/float64(len(s.Ink)), "bytes/stroke")
	}
}

func BenchmarkPNG(b *testing.B) {
	s := manyScene(20000)
	for b.Loop() {
		if _, err := PNG(s, 1600); err != nil {
			b.Fatal(err)
		}
	}
}
