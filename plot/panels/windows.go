package panels

import (
	"context"
	"math"
	"slices"

	"weftplot/paths"
)

// windowsFor returns windows that hold all units, strokes cut where need be, in the order
// in which they are drawn.
func windowsFor(ctx context.Context, units []unit, opt Options) (windows []paths.Rect, exact bool, err error) {
	if err := ctx.Err(); err != nil {
		return nil, false, err
	}
	all := paths.EmptyRect()
	for _, u := range units {
		all = all.Union(u.box)
	}
	for _, y := range spread(all.Min.Y, all.Max.Y, opt.Height, opt.Lap) {
		for _, x := range spread(all.Min.X, all.Max.X, opt.Width, opt.Lap) {
			windows = append(windows, opt.window(x, y))
		}
	}
	// Words that lie across the edges of all windows have windows of their own.
	for _, u := range units {
		if u.word && firstThatHolds(windows, u.box) < 0 {
			windows = append(windows, opt.window(u.box.Min.X, u.box.Min.Y))
		}
	}
	return inOrder(windows), len(windows) == 1, nil
}

func (o Options) window(x, y float64) paths.Rect {
	return paths.Rect{Min: paths.Point{X: x, Y: y}, Max: paths.Point{X: x + o.Width, Y: y + o.Height}}
}

// spread returns where windows of a size begin that cover lo to hi evenly and overlap by
// the lap at least.
func spread(lo, hi, size, lap float64) []float64 {
	if hi-lo <= size+hair {
		return []float64{(lo+hi)/2 - size/2}
	}
	n := int(math.Ceil((hi-lo-lap)/(size-lap) - 1e-9))
	var at []float64
	for i := range n {
		at = append(at, lo+float64(i)*(hi-lo-size)/float64(n-1))
	}
	return at
}

// inOrder returns windows so that each after the first has most in common with those
// before it, from the lowest on the left on.
func inOrder(windows []paths.Rect) []paths.Rect {
	left := slices.Clone(windows)
	slices.SortStableFunc(left, func(a, b paths.Rect) int {
		if a.Min.Y != b.Min.Y {
			return compare(a.Min.Y, b.Min.Y)
		}
		return compare(a.Min.X, b.Min.X)
	})
	var out []paths.Rect
	for len(left) > 0 {
		best, most := 0, -1.
		for i, w := range left {
			common := 0.
			for _, o := range out {
				common += commonArea(w, o)
			}
			if common > most+hair {
				best, most = i, common
			}
		}
		out, left = append(out, left[best]), slices.Delete(left, best, best+1)
	}
	return out
}

func commonArea(a, b paths.Rect) float64 {
	w := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
	h := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
	return max(w, 0) * max(h, 0)
}
