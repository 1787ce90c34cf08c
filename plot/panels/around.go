package panels

import "weftplot/paths"

// Around returns the ink within half mm of a point both ways that lies on the cloth before
// a load is drawn, in mm: what a person sees round a point to be found.
func (p Plan) Around(load int, at paths.Point, half float64) []paths.Stroke {
	box := paths.RectOf(at).Grow(half)
	var out []paths.Stroke
	for _, l := range p.Loads[:load] {
		for _, part := range l.Parts {
			if !part.Piece.Bounds().Overlaps(box) {
				continue
			}
			t := newTrack(part.Piece)
			if t.Stroke.IsDot() {
				out = append(out, t.Stroke)
				continue
			}
			for _, s := range t.within(box) {
				out = append(out, t.piece(s.lo, s.hi))
			}
		}
	}
	return out
}
