package scan

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
)

// TraceToWidth traces a page when only the width of the drawing is known, in mm
// between the middles of its outermost lines. The page comes with a guess of
// its size, which is corrected by the traced lines. Where the guess was far off
// it traces again, because what counts as a speck or a line depends on the
// size. It returns the page at its true size.
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
