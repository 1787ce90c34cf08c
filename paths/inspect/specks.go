package inspect

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// specks are the shapes, of one stroke or of several that touch, which are
// smaller than a row of loops both ways.
type specks struct {
	*drawing
	boxes []paths.Rect // by stroke
	sets  *near.Sets   // of strokes that touch, as far as it matters; all large ones are in one
	large int          // a large stroke; -1 for none
	looks int          // that may still be taken
}

// maxSpeckLooks bounds the looks at pairs of small strokes and others.
const maxSpeckLooks = 20_000_000

// findSpecks puts the strokes into sets. Only small strokes can be specks: of the others
// it makes no difference which they touch.
func (f *drawing) findSpecks(strokes []paths.Stroke) *specks {
	p := &specks{drawing: f, boxes: make([]paths.Rect, len(strokes)), sets: near.NewSets(len(strokes)), large: -1, looks: maxSpeckLooks}
	for i, s := range strokes {
		if p.boxes[i] = s.Bounds(); p.isSmall(p.boxes[i]) {
			continue
		}
		if p.large < 0 {
			p.large = i
		}
		p.sets.Join(i, p.large)
	}
	var small, large []int32
	for i, s := range f.segs {
		if p.isSmall(p.boxes[s.stroke]) {
			small = append(small, int32(i))
		} else {
			large = append(large, int32(i))
		}
	}
	if len(small) > 0 {
		p.joinLarge(small, f.indexOf(large, f.reach(), 0))
		p.joinSmall(f.indexOf(small, 2*f.Double, f.Double/2))
	}
	return p
}

func (p *specks) isSmall(b paths.Rect) bool { return b.Width() < p.Across && b.Height() < p.Along }

// joinLarge joins the small strokes that touch a large one with it.
func (p *specks) joinLarge(small []int32, in index) {
	for _, k := range small {
		s := p.segs[k]
		if p.large < 0 || p.sets.Same(int(s.stroke), p.large) {
			continue
		}
		p.ask()
		in.cells.Along(s.a, s.b, p.Double, func(items []int32) {
			for _, i := range slices.Backward(items) {
				p.work++
				if p.looks--; p.looks < 0 || p.sets.Same(int(s.stroke), p.large) {
					return
				}
				if o := in.ids[i]; p.meet(o) && p.touch(s, p.segs[o]) {
					p.sets.Join(int(s.stroke), p.large)
				}
			}
		})
	}
}

// joinSmall joins the small strokes that touch one another. Two that do are in one cell at
// the middle between them. Of a cell the strokes are kept by their sets, so that in a heap
// in which all touch, each is held against few others.
func (p *specks) joinSmall(in index) {
	in.cells.Each(func(items []int32) {
		var groups [][]int32 // segments of one set each
		for _, i := range items {
			s := p.segs[in.ids[i]]
			mine := []int32{in.ids[i]}
			kept := groups[:0]
			for _, g := range groups {
				if !p.touchesAny(s, g) {
					kept = append(kept, g)
					continue
				}
				if len(g) < len(mine) {
					g, mine = mine, g
				}
				mine = append(g, mine...)
			}
			groups = append(kept, mine)
		}
	})
}

// touchesAny reports whether a segment belongs to the set of some others, all of one set,
// or touches one of them and so joins it. What cannot be looked at any more counts as touching.
func (p *specks) touchesAny(s segment, others []int32) bool {
	if p.sets.Same(int(s.stroke), int(p.segs[others[0]].stroke)) {
		return true
	}
	for _, i := range slices.Backward(others) {
		o := p.segs[i]
		p.work++
		if p.looks--; p.looks < 0 || p.touch(s, o) {
			p.sets.Join(int(s.stroke), int(o.stroke))
			return true
		}
	}
	return false
}

func (p *specks) touch(s, o segment) bool {
	d, _, _ := distance(s, o)
	return d <= p.Double
}

// found returns the specks, and whether all could be looked at.
func (p *specks) found() ([]Found, bool) {
	boxes := slices.Clone(p.boxes)
	for i := range boxes {
		if set := p.sets.Find(i); set != i {
			boxes[set] = boxes[set].Union(boxes[i])
		}
	}
	var out []Found
	for i, b := range boxes {
		if p.sets.Find(i) == i && !b.IsEmpty() && p.isSmall(b) {
			out = append(out, Found{Kind: Speck, At: b.Centre(), Length: math.Max(b.Width(), b.Height()), Stroke: i, Other: -1})
		}
	}
	return out, p.looks >= 0
}
