package panels

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// refine moves windows one way at a time to where they hold most strokes whole, anywhere
// rather than at the sides that were looked at. All bits stay held.
func (f *field) refine(windows []paths.Rect) []paths.Rect {
	windows = slices.Clone(windows)
	boxes := byHeight(f.bits)
	for range 2 {
		for i := range windows {
			for _, horizontal := range []bool{true, false} {
				lo, hi := f.room(windows, boxes, i, horizontal)
				if math.IsInf(lo, 0) || math.IsInf(hi, 0) {
					continue
				}
				at := f.deepest(windows, i, horizontal, lo, hi)
				windows[i] = shifted(windows[i], at-side(windows[i], horizontal), horizontal)
			}
		}
	}
	return windows
}

// deepest returns where the side of a window lies, from lo to hi, so that it holds most
// strokes that no other window does.
func (f *field) deepest(windows []paths.Rect, i int, horizontal bool, lo, hi float64) float64 {
	type event struct {
		at float64
		by int
	}
	w, size := windows[i], f.opt.Width
	if !horizontal {
		size = f.opt.Height
	}
	var events []event
	for _, b := range f.wholes {
		moved := shifted(w, side(b, horizontal)-side(w, horizontal), horizontal)
		if !holds(moved, b) || heldByOther(windows, i, b) {
			continue
		}
		last := side(b, horizontal)
		first := last + length(b, horizontal) - size
		if first = max(first, lo); first <= min(last, hi) {
			events = append(events, event{first, 1}, event{min(last, hi), -1})
		}
	}
	slices.SortFunc(events, func(a, b event) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(b.by, a.by)) })
	now := min(max(side(w, horizontal), lo), hi)
	here, depth := 0, 0
	for _, e := range events { // how many it holds where it lies
		if e.by > 0 && e.at <= now+hair || e.by < 0 && e.at < now-hair {
			here += e.by
		}
	}
	best, most := now, here
	for _, e := range events {
		if depth += e.by; depth > most {
			best, most = e.at, depth
		}
	}
	return best
}

func length(b paths.Rect, horizontal bool) float64 {
	if horizontal {
		return b.Width()
	}
	return b.Height()
}
