package touch

import (
	"cmp"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave/snap/web"
)

// Lines calls take for points and the lines that they may lie on; it reports whether they do.
// Where very many lines lie on one straight line, it does so for the longest of those that
// pass a point. stopped is asked now and then whether not to go on: what is found is not all then.
func Lines(points []paths.Point, lines []paths.Line, stopped func() bool, take func(point, line int) bool) {
	carriers, off := web.Carriers(lines, Heap)
	others := bundles(points, lines, off, take)
	curve := func(i int) paths.Curve {
		if i < len(carriers) {
			return carriers[i].Hull
		}
		return lines[others[i-len(carriers)]]
	}
	index := near.NewCurves(len(carriers)+len(others), curve, 2*web.Joint)
	on := make([][]int, len(carriers)) // by carrier, the points
	for v, p := range points {
		if v%asking == 0 && stopped() {
			return
		}
		index.Near(p, func(i int) bool {
			if i < len(carriers) {
				on[i] = append(on[i], v)
			} else {
				take(v, others[i-len(carriers)])
			}
			return true
		})
	}
	for i, c := range carriers {
		slices.SortStableFunc(on[i], func(a, b int) int { return cmp.Compare(c.At(points[a]), c.At(points[b])) })
		at := make([]float64, len(on[i]))
		for k, v := range on[i] {
			at[k] = c.At(points[v])
		}
		spans := make([]web.Span, len(c.Lines))
		for k, l := range c.Lines {
			a, b := c.At(lines[l].A), c.At(lines[l].B)
			spans[k] = web.Span{Lo: min(a, b), Hi: max(a, b)}
		}
		web.Cover(at, spans, Most, func(point, span int) bool { return take(on[i][point], c.Lines[span]) })
	}
}

// asking is how many points are looked at between two questions whether not to go on.
const asking = 256

// bundles calls take for points and those of some lines that run close beside many others, and
// returns the rest of them.
func bundles(points []paths.Point, lines []paths.Line, some []int, take func(point, line int) bool) (rest []int) {
	of := make([]paths.Line, len(some))
	for k, i := range some {
		of[k] = lines[i]
	}
	found, others := web.Bundles(of, Heap)
	web.VisitBundles(found, points, func(v, k int) { take(v, some[k]) })
	for _, k := range others {
		rest = append(rest, some[k])
	}
	return rest
}
