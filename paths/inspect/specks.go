package inspect

import "weftplot/paths"

// specks returns the shapes, of one stroke or of several that touch, which are
// smaller than a row of loops both ways.
func (p *pairing) specks(strokes []paths.Stroke) []Found {
	boxes := make([]paths.Rect, len(strokes))
	for i, s := range strokes {
		boxes[i] = s.Bounds()
		if set := p.sets.Find(i); set != i {
			boxes[set] = boxes[set].Union(boxes[i])
		}
	}
	var out []Found
	for i, b := range boxes {
		if p.sets.Find(i) != i || b.IsEmpty() {
			continue
		}
		if b.Width() < p.Across && b.Height() < p.Along {
			out = append(out, Found{Kind: Speck, At: b.Centre(), Length: max(b.Width(), b.Height()), Stroke: i, Other: -1})
		}
	}
	return out
}
