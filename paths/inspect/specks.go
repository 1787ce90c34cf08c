package inspect

import "weftplot/paths"

// sets are disjoint sets of strokes (R. Tarjan, "Efficiency of a good but not
// linear set union algorithm", JACM 22 (1975) 215-225).
type sets []int32

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

// of returns the least member of the set that i is in.
func (s sets) of(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(i, j int32) {
	i, j = s.of(i), s.of(j)
	s[max(i, j)] = min(i, j)
}

// specks returns the shapes, of one stroke or of several that touch, which are
// smaller than two rows both ways.
func (p *pairing) specks(strokes []paths.Stroke) []Found {
	boxes := make([]paths.Rect, len(strokes))
	for i, s := range strokes {
		boxes[i] = s.Bounds()
		if set := p.sets.of(int32(i)); int(set) != i {
			boxes[set] = boxes[set].Union(boxes[i])
		}
	}
	var out []Found
	for i, b := range boxes {
		if int(p.sets.of(int32(i))) != i || b.IsEmpty() {
			continue
		}
		if b.Width() < rows*p.Across && b.Height() < rows*p.Along {
			out = append(out, Found{Kind: Speck, At: b.Centre(), Length: max(b.Width(), b.Height()), Stroke: i, Other: -1})
		}
	}
	return out
}
