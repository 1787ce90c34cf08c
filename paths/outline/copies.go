package outline

import (
	"slices"

	"weftplot/paths"
)

// isCopy reports whether a fill has the very area of a higher one that hides it, and so is
// no more seen than if it were not there; copies are noted under that one.
func (p *plane) isCopy(fill int) bool {
	f := &p.fills[fill]
	w := &p.winders[fill]
	if w.from == w.to {
		return false
	}
	key := areaKey{w.box, w.to - w.from, p.parts[p.boundaries[w.from].from].c, f.EvenOdd, f.Undrawn}
	for _, above := range p.areaOf[key] {
		p.budget -= p.boundaries[w.to-1].to - p.boundaries[w.from].from
		if p.sameArea(fill, above) {
			p.original[fill] = above
			return true
		}
	}
	if f.Window == nil && !f.Sheer {
		p.areaOf[key] = append(p.areaOf[key], fill)
	}
	return false
}

// areaKey is what areas that are the same have in common.
type areaKey struct {
	box              paths.Rect
	boundaries       int
	first            paths.Curve
	evenOdd, undrawn bool
}

func (p *plane) sameArea(a, b int) bool {
	from, to := p.winders[a].from, p.winders[a].to
	for i := from; i < to; i++ {
		if !slices.Equal(p.boundaries[i].stroke, p.boundaries[p.winders[b].from+i-from].stroke) {
			return false
		}
	}
	return true
}
