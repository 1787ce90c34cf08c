package panels

import (
	"cmp"
	"context"
	"slices"

	"weftplot/paths"
)

// windowsFor returns windows that hold all units, strokes cut where need be, in the order
// in which they are drawn.
func windowsFor(ctx context.Context, units []unit, strokes []Stroke, opt Options) (windows []paths.Rect, exact bool, err error) {
	f := newField(units, strokes, opt)
	if err := ctx.Err(); err != nil {
		return nil, false, err
	}
	sites, exact := f.fewest()
	if err := ctx.Err(); err != nil {
		return nil, false, err
	}
	for _, s := range f.wholeMost(sites) {
		windows = append(windows, f.window(s))
	}
	if !f.all {
		windows = f.refine(windows)
	}
	return f.inOrder(f.settle(windows), units), exact, ctx.Err()
}

func (o Options) window(x, y float64) paths.Rect {
	return paths.Rect{Min: paths.Point{X: x, Y: y}, Max: paths.Point{X: x + o.Width, Y: y + o.Height}}
}

// inOrder returns windows so that each after the first is tied best to those before it,
// from the lowest on the left on.
func (f *field) inOrder(windows []paths.Rect, units []unit) []paths.Rect {
	left := slices.Clone(windows)
	slices.SortStableFunc(left, func(a, b paths.Rect) int {
		return cmp.Or(cmp.Compare(a.Min.Y, b.Min.Y), cmp.Compare(a.Min.X, b.Min.X))
	})
	ties := f.ties(left, units)
	number := make([]int, len(left)) // of those in left, as ties has them
	for i := range number {
		number[i] = i
	}
	var out []paths.Rect
	var taken []int
	for len(left) > 0 {
		best, most := 0, -1.
		for i, w := range left {
			tied := 0.
			for k, o := range out {
				tied += float64(ties[number[i]][taken[k]]) + 1e-9*area(common(w, o))
			}
			if tied > most+1e-12 {
				best, most = i, tied
			}
		}
		out, taken = append(out, left[best]), append(taken, number[best])
		left, number = slices.Delete(left, best, best+1), slices.Delete(number, best, best+1)
	}
	return out
}

// ties returns how strongly each two windows hang together: by the strokes that will be cut
// where both hold them, and a little by all ink that both hold.
func (f *field) ties(windows []paths.Rect, units []unit) [][]int {
	const joint = 1000
	out := make([][]int, len(windows))
	for i := range out {
		out[i] = make([]int, len(windows))
	}
	last := map[[2]int]int{} // the last cut unit that ties two windows
	for k, b := range f.bits {
		var in []int
		for i, w := range windows {
			if holds(w, b) {
				in = append(in, i)
			}
		}
		if len(in) < 2 {
			continue
		}
		u := f.owners[k]
		cut := firstThatHolds(windows, units[u].box) < 0
		for _, i := range in {
			for _, j := range in {
				out[i][j]++
				if before, seen := last[[2]int{i, j}]; cut && (!seen || before != u) {
					last[[2]int{i, j}] = u
					out[i][j] += joint
				}
			}
		}
	}
	return out
}

func area(r paths.Rect) float64 { return r.Width() * r.Height() }
