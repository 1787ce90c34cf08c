package linework

import (
	"cmp"
	"slices"

	"weftplot/paths"
)

// Gap is a place where two ends of lines lie near each other and do not meet.
type Gap struct {
	From, To paths.Point // the ends, mm
}

// Length is the width of the gap in mm.
func (g Gap) Length() float64 { return g.From.Dist(g.To) }

// Bridge is the line that closes the gap.
func (g Gap) Bridge() paths.Stroke { return paths.Polyline(g.From, g.To) }

// Gaps lists the pairs of open ends that are each other's nearest and lie no
// farther apart than within mm, the narrowest first. Ends that meet, closer than
// 0.01 mm, are no gap; the two ends of one stroke may be one.
func Gaps(strokes []paths.Stroke, within float64) []Gap {
	const meet = 0.01 // mm
	var ends []paths.Point
	for _, s := range strokes {
		if len(s) > 0 && !s.IsClosed() {
			ends = append(ends, s.Start(), s.End())
		}
	}
	nearest := make([]int, len(ends))
	for i, p := range ends {
		nearest[i] = -1
		best := within
		for k, q := range ends {
			d := p.Dist(q)
			if k == i {
				continue
			}
			if d < meet { // this end is joined to another
				nearest[i] = -1
				break
			}
			if d <= best {
				best, nearest[i] = d, k
			}
		}
	}
	var out []Gap
	for i, k := range nearest {
		if k > i && nearest[k] == i {
			out = append(out, Gap{ends[i], ends[k]})
		}
	}
	slices.SortStableFunc(out, func(a, b Gap) int { return cmp.Compare(a.Length(), b.Length()) })
	return out
}
