package scan

import (
	"weftplot/paths/fault"
	"weftplot/paths/scan/raster"
)

// Read finds the lines of a page that raster.Decode returned, with its source.
// Those that the file holds as lines are taken as they are; a picture is traced, by
// TraceToWidth where width is not 0.
func Read(p raster.Page, src raster.Source, width float64, opt Options) (raster.Page, Tracing, error) {
	switch {
	case src.Lines == nil && width > 0:
		return TraceToWidth(p, width, opt)
	case src.Lines == nil:
		t, err := Trace(p, opt)
		return p, t, err
	case opt.Deskew:
		return p, Tracing{}, fault.Bad("", "leave it out", "the page holds lines, not a picture of them: they lie as they were drawn, and deskewing would change nothing")
	}
	return p, Tracing{Strokes: src.Lines, LineMM: src.LinesMM}, nil
}
