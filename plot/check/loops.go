package check

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/inspect"
	"weftplot/paths/inspect/loops"
	"weftplot/paths/near"
	"weftplot/plot/figures"
	"weftplot/plot/report"
)

// roomForLoops returns the shapes that hold no loop, and what is narrower than two
// rows of loops, but for those that are found as specks.
func (r *Report) roomForLoops(strokes []paths.Stroke, g loops.Gauge, found []inspect.Found) []Finding {
	res := loops.Inspect(strokes, g)
	if !res.Whole {
		r.Warnings = append(r.Warnings, report.Warning{Code: "too-large-for-loops", Message: "the design is so large, or so many of its lines lie in one place, that not every shape was looked at for room for its loops: some may be too narrow without being told"})
	}
	at := speckIndex(found)
	var out []Finding
	for _, f := range res.Found {
		if f.Kind == loops.Empty && at.holds(f) {
			continue
		}
		out = append(out, narrowFinding(f))
	}
	return out
}

// specks are those found, with a grid that tells which lie near a place.
type specks struct {
	list  []inspect.Found
	cells *near.Cells
}

func speckIndex(found []inspect.Found) specks {
	var s specks
	box, most := paths.EmptyRect(), 0.
	for _, k := range found {
		if k.Kind == inspect.Speck {
			s.list = append(s.list, k)
			box, most = box.Union(around(k)), max(most, k.Length)
		}
	}
	s.cells = near.NewCells(box, most, len(s.list), func(i int, put func(paths.Rect)) { put(around(s.list[i])) })
	return s
}

// around returns the box that the speck lies in, whichever way it runs.
func around(k inspect.Found) paths.Rect {
	return paths.RectOf(k.At, k.At).Grow(k.Length / 2)
}

// holds reports whether a face lies in a shape that is found as a speck.
func (s specks) holds(f loops.Found) bool {
	in := false
	s.cells.In(f.Extent, func(items []int32) {
		for _, i := range items {
			k := s.list[i]
			in = in || f.Extent.Grow(k.Length/2).Contains(k.At) && f.Length <= k.Length*1.1
		}
	})
	return in
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
