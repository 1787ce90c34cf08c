package check

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/inspect"
	"weftplot/paths/inspect/loops"
	"weftplot/plot/figures"
	"weftplot/plot/report"
)

// roomForLoops returns the shapes that hold no loop, and what is narrower than two
// rows of loops, but for those that are found as specks.
func (r *Report) roomForLoops(strokes []paths.Stroke, g loops.Gauge, found []inspect.Found) []Finding {
	res := loops.Inspect(strokes, g)
	if !res.Whole {
		r.Warnings = append(r.Warnings, report.Warning{Code: "too-large-for-loops", Message: "the design is so large that not every shape was looked at for room for its loops: some may be too narrow without being told"})
	}
	var out []Finding
	for _, f := range res.Found {
		if f.Kind == loops.Empty && isSpeck(f, found) {
			continue
		}
		out = append(out, narrowFinding(f))
	}
	return out
}

// isSpeck reports whether a face lies in a shape that is found as a speck.
func isSpeck(f loops.Found, found []inspect.Found) bool {
	for _, k := range found {
		if k.Kind == inspect.Speck && f.Extent.Grow(k.Length/2).Contains(k.At) && f.Length <= k.Length*1.1 {
			return true
		}
	}
	return false
}

// narrowFinding puts into words a place where there is no room for loops.
func narrowFinding(f loops.Found) Finding {
	out := Finding{At: &[2]float64{figures.Round(f.At.X), figures.Round(f.At.Y)}, LengthMM: figures.Round(f.Length), Code: FoundNarrow}
	what := "a part of a shape"
	if f.Whole {
		what = "a shape"
	}
	out.Message = fmt.Sprintf("%s %s long is %.1f rows of loops wide", what, lengthOf(f.Length), f.Rows)
	if f.Kind == loops.Empty {
		out.Code = FoundEmpty
		out.Message = fmt.Sprintf("a shape of %s is %.1f of a row of loops wide", lengthOf(f.Length), f.Rows)
	}
	return out
}
