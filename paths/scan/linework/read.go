package linework

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan"
	"weftplot/paths/scan/raster"
)

// Read finds the lines of a page that [raster.Decode] returned with its source. Lines that
// the file holds as such are taken as they are. A picture is traced, with [TraceToWidth]
// where width, in mm, is not 0.
func Read(p raster.Page, src raster.Source, width float64, opt scan.Options) (raster.Page, scan.Tracing, error) {
	switch {
	case src.Lines == nil && width > 0:
		return TraceToWidth(p, width, opt)
	case src.Lines == nil:
		t, err := scan.Trace(p, opt)
		return p, t, err
	case opt.Deskew:
		return p, scan.Tracing{}, fault.Bad("", "leave it out", "the page holds lines, not a picture of them: they lie as they were drawn, and deskewing would change nothing")
	}
	return p, scan.Tracing{Strokes: src.Lines, LineMM: src.LinesMM}, nil
}

// TraceToWidth traces a page when only the width of the drawing is known, in mm
// between the middles of its outermost lines. The page comes with a guess of
// its size, which is corrected by the traced lines. Where the guess was far off
// it traces again, because what counts as a speck or a line depends on the
// size. It returns the page at its true size.
func TraceToWidth(p raster.Page, width float64, opt scan.Options) (raster.Page, scan.Tracing, error) {
	const tries, near = 3, 0.03
	for try := 1; ; try++ {
		t, err := scan.Trace(p, opt)
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
			t.OddRuling = false // it was measured on a guess of the size
			t.WidthFrom = outermost(t.Strokes)
			return p, t, nil
		}
	}
}

// outermost returns the places of lines farthest to the left and to the right.
func outermost(strokes []paths.Stroke) *[2]paths.Point {
	var out *[2]paths.Point
	for _, s := range strokes {
		for _, q := range s.Flatten(0.05) {
			switch {
			case out == nil:
				out = &[2]paths.Point{q, q}
			case q.X < out[0].X:
				out[0] = q
			case q.X > out[1].X:
				out[1] = q
			}
		}
	}
	return out
}
