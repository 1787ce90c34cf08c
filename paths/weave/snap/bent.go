package snap

import (
	"fmt"
	"math"

	"weftplot/paths"
)

// shapeBent is the share by which a shape is said to be bent.
const shapeBent = 0.01

// tellBent warns, once, of rings that are bent, and of other closed strokes without
// lines on the weave that nothing else ends on: their width over their height is
// another by more than shapeBent.
func (s *snapper) tellBent(out []paths.Stroke) {
	told, worst, most := 0, -1, 0.
	for i := range s.Strokes {
		if s.whole[i] != nil || !s.isRing(i) || s.hangsOn[i] && !s.isRound(i) {
			continue
		}
		if by := bentBy(s.Strokes[i].Bounds(), out[i].Bounds()); by > shapeBent {
			told++
			if by > most {
				worst, most = i, by
			}
		}
	}
	if told == 0 {
		return
	}
	was, is := s.Strokes[worst].Bounds(), out[worst].Bounds()
	which := "a closed shape without lines on the weave is"
	if told > 1 {
		which = fmt.Sprintf("%d closed shapes without lines on the weave are", told)
	}
	s.warn("shape-bent", is.Centre(), "%s bent, at most from %.1f x %.1f to %.1f x %.1f mm: the lines round it moved and left it no place to stay as it was",
		which, was.Width(), was.Height(), is.Width(), is.Height())
}

// bentBy returns the share by which the width over the height of a box changed. What
// is thin is not looked at.
func bentBy(was, is paths.Rect) float64 {
	const thin = 1 // mm
	if min(was.Width(), was.Height(), is.Width(), is.Height()) < thin {
		return 0
	}
	return math.Abs(is.Width()/is.Height()*was.Height()/was.Width() - 1)
}

// isRound reports whether stroke i is a circle, by its box and its area.
func (s *snapper) isRound(i int) bool {
	b := s.Strokes[i].Bounds()
	pts := s.Strokes[i].Flatten(shapeFlat)
	area := 0.
	for j := 1; j < len(pts); j++ {
		area += pts[j-1].Cross(pts[j]) / 2
	}
	const slack = 0.02
	return math.Abs(b.Width()/b.Height()-1) <= slack && math.Abs(math.Abs(area)/(b.Width()*b.Height())*4/math.Pi-1) <= slack
}
