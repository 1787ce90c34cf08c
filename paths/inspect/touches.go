package inspect

import (
	"cmp"
	"slices"
)

// touch is a place where two strokes, or two parts of one, come together: how
// far along each it is.
type touch struct{ on, other float64 }

// touching keeps the touches of every pair of strokes.
type touching struct {
	*drawing
	of    map[[2]int32][]touch // by the lesser number of stroke first
	count int
	// around are the surroundings of the touches of the first stroke with the
	// second, as ascending intervals along the first that do not overlap; made
	// when they are first asked for.
	around map[[2]int32][][2]float64
}

func (t *touching) add(stroke, other int32, at touch) {
	if stroke > other {
		stroke, other, at = other, stroke, touch{at.other, at.on}
	}
	key := [2]int32{stroke, other}
	t.of[key] = append(t.of[key], at)
	t.count++
}

// surroundings returns the parts of a stroke that are near a touch with another.
func (t *touching) surroundings(stroke, other int32) [][2]float64 {
	key := [2]int32{stroke, other}
	if out, ok := t.around[key]; ok {
		return out
	}
	var all [][2]float64
	width := nearby * max(t.Across, t.Along)
	put := func(at float64) {
		all = append(all, [2]float64{at - width, at + width})
		if l := t.length[stroke]; t.closed[stroke] {
			all = append(all, [2]float64{at - l - width, at - l + width}, [2]float64{at + l - width, at + l + width})
		}
	}
	for _, c := range t.of[[2]int32{min(stroke, other), max(stroke, other)}] {
		if stroke <= other {
			put(c.on)
		}
		if stroke >= other {
			put(c.other)
		}
	}
	slices.SortFunc(all, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out [][2]float64
	for _, iv := range all {
		if n := len(out) - 1; n >= 0 && iv[0] <= out[n][1] {
			out[n][1] = max(out[n][1], iv[1])
		} else {
			out = append(out, iv)
		}
	}
	t.around[key] = out
	return out
}

// without returns what is left of an overlap when the surroundings of all places
// where its strokes meet are taken away.
func (t *touching) without(s overlap) []overlap {
	list := t.surroundings(s.stroke, s.other)
	i, _ := slices.BinarySearchFunc(list, s.from, func(iv [2]float64, at float64) int { return cmp.Compare(iv[1], at) })
	var out []overlap
	at := s.from
	for ; i < len(list) && list[i][0] < s.to; i++ {
		if list[i][0] > at {
			out = append(out, s.part(at, list[i][0]))
		}
		at = max(at, list[i][1])
	}
	if at < s.to {
		out = append(out, s.part(at, s.to))
	}
	return out
}
