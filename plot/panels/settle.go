package panels

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// settle moves windows so that neighbours overlap evenly, and so that they overlap rather
// than reach beyond the drawing: then ink of earlier loads lies on both sides of the
// joints. What is held stays held, and what is whole stays whole.
func (f *field) settle(windows []paths.Rect) []paths.Rect {
	windows = slices.Clone(windows)
	boxes := byHeight(slices.Concat(f.bits, f.wholes))
	const rounds, still = 6, 0.1 // mm
	for range rounds {
		moved := 0.
		for i := range windows {
			for _, horizontal := range []bool{true, false} {
				lo, hi := f.room(windows, boxes, i, horizontal)
				to := min(max(target(windows, i, horizontal, lo, hi), lo), hi)
				by := to - side(windows[i], horizontal)
				if math.IsInf(by, 0) || math.IsNaN(by) {
					continue
				}
				moved = max(moved, math.Abs(by))
				windows[i] = shifted(windows[i], by, horizontal)
			}
		}
		if moved < still {
			break
		}
	}
	return windows
}

func side(w paths.Rect, horizontal bool) float64 {
	if horizontal {
		return w.Min.X
	}
	return w.Min.Y
}

func shifted(w paths.Rect, by float64, horizontal bool) paths.Rect {
	d := paths.Point{Y: by}
	if horizontal {
		d = paths.Point{X: by}
	}
	return paths.Rect{Min: w.Min.Add(d), Max: w.Max.Add(d)}
}

// byHeight returns boxes sorted by their lower sides.
func byHeight(boxes []paths.Rect) []paths.Rect {
	boxes = slices.Clone(boxes)
	slices.SortFunc(boxes, func(a, b paths.Rect) int { return cmp.Compare(a.Min.Y, b.Min.Y) })
	return boxes
}

// room returns from where to where the side of a window may lie so that it holds what no
// other does of boxes that are sorted by height.
func (f *field) room(windows, boxes []paths.Rect, i int, horizontal bool) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	w := windows[i]
	var others []paths.Rect
	for k, o := range windows {
		if k != i && o.Overlaps(w) {
			others = append(others, o)
		}
	}
	first, _ := slices.BinarySearchFunc(boxes, w.Min.Y-hair, func(b paths.Rect, y float64) int { return cmp.Compare(b.Min.Y, y) })
	for _, b := range boxes[first:] {
		if b.Min.Y > w.Max.Y {
			break
		}
		if !holds(w, b) || firstThatHolds(others, b) >= 0 {
			continue
		}
		if horizontal {
			lo, hi = max(lo, b.Max.X-f.opt.Width), min(hi, b.Min.X)
		} else {
			lo, hi = max(lo, b.Max.Y-f.opt.Height), min(hi, b.Min.Y)
		}
	}
	at := side(w, horizontal)
	return min(lo, at), max(hi, at)
}

func heldByOther(windows []paths.Rect, i int, b paths.Rect) bool {
	for k, w := range windows {
		if k != i && holds(w, b) {
			return true
		}
	}
	return false
}

// mostOutside is how much of a window lies beyond the edge of the drawing, in mm, where
// there is room to spare and joints at that edge: so that these have threads on both sides.
const mostOutside = 25

// target returns where the side of a window should lie: half way between its neighbours,
// or near to the only one.
func target(windows []paths.Rect, i int, horizontal bool, lo, hi float64) float64 {
	before, after := neighbours(windows, i, horizontal)
	outside := 0.
	if b, a := neighbours(windows, i, !horizontal); !math.IsInf(b, 0) || !math.IsInf(a, 0) {
		outside = min(mostOutside, (hi-lo)/4)
	}
	switch {
	case !math.IsInf(before, 0) && !math.IsInf(after, 0):
		return (before + after) / 2
	case !math.IsInf(after, 0):
		return hi - outside
	case !math.IsInf(before, 0):
		return lo + outside
	}
	return (lo + hi) / 2
}

// neighbours returns the sides of the nearest windows before a window and after it, which
// lie beside it at least in part; infinite for none.
func neighbours(windows []paths.Rect, i int, horizontal bool) (before, after float64) {
	w := windows[i]
	before, after = math.Inf(-1), math.Inf(1)
	for k, o := range windows {
		both, size := common(w, o), w.Width()
		if !horizontal {
			size = w.Height()
		}
		d := side(o, horizontal) - side(w, horizontal)
		switch {
		case k == i || both.IsEmpty() || math.Abs(d) < size/4: // it lies above or below
		case d < 0:
			before = max(before, side(o, horizontal))
		default:
			after = min(after, side(o, horizontal))
		}
	}
	return before, after
}
