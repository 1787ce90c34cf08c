package scan

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
)

// TraceToWidth traces a page of which only the width of the drawing is known, in
// mm between the middles of its outermost lines. The page comes with a guess of
// its size, which is put right by what was traced: where the guess was far off,
// by tracing again, as what is a speck and what a line depends on its size. It
// returns the page at its true size.
func TraceToWidth(p raster.Page, width float64, opt Options) (raster.Page, Tracing, error) {
	const tries, near = 3, 0.03
	for try := 1; ; try++ {
		t, err := Trace(p, opt)
		if err != nil {
			return p, t, err
		}
		drawn := paths.BoundsOf(t.Strokes).Width()
		if drawn <= 0 {
			return p, t, nil
		}
		k := width / drawn
		p.MM *= k
		if math.Abs(k-1) <= near || try == tries {
			t = t.Transform(paths.Scale(k, k))
			t.LineMM *= k
			return p, t, nil
		}
	}
}
