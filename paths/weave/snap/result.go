package snap

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// result redraws the strokes and says what came of their lines.
func (s *snapper) result() Result {
	out := Result{Strokes: s.redraw(), Lines: s.lines()}
	s.tellBent(out.Strokes)
	for _, l := range out.Lines {
		out.MaxMoved = max(out.MaxMoved, math.Abs(l.Moved))
	}
	s.warnFar(out.Lines)
	out.Slants, out.MissHoles = s.slants, s.missHoles
	out.Rhythms, out.Diagonals, out.Warnings = s.rhythms, s.diagonals, s.warnings
	return out
}

// The numbers of lines that moved far which are told one by one: those that lean, and
// others. More of them have one cause.
const (
	fewLeaning = 2
	fewFar     = 3
)

// warnFar warns of lines that moved by more than a channel. Rhythms and diagonals tell how
// far their lines moved.
func (s *snapper) warnFar(lines []Line) {
	var far, leaning []Line
	for _, l := range lines {
		switch pitch := s.grid.Pitch(l.Axis); {
		case s.movedBy(l) <= 1+1e-9 || (l.Even || l.Named || l.Met) && l.Swing <= pitch:
		case math.Abs(l.Moved) <= pitch:
			leaning = append(leaning, l)
		default:
			far = append(far, l)
		}
	}
	if len(leaning) > fewLeaning {
		worst := slices.MaxFunc(leaning, func(a, b Line) int { return cmp.Compare(s.movedBy(a), s.movedBy(b)) })
		s.warn("lines-lean", worst.At, "%d lines lean against the weave and were put straight into channels: an end moved by up to %.1f mm (%.1f channels). Lines that are to lean stay so where they lean by more than [snap]",
			len(leaning), s.movedBy(worst)*s.grid.Pitch(worst.Axis), s.movedBy(worst))
	} else {
		far = append(far, leaning...)
	}
	if len(far) > fewFar {
		worst := slices.MaxFunc(far, func(a, b Line) int { return cmp.Compare(s.movedBy(a), s.movedBy(b)) })
		s.warn("moved-over-a-channel", worst.At, "%d lines moved by more than a channel, to keep their order and their distance from others; the farthest, %s the cloth, moved %.1f mm (%.1f channels) into channel %d",
			len(far), directions[worst.Axis], s.movedBy(worst)*s.grid.Pitch(worst.Axis), s.movedBy(worst), worst.Channel)
		return
	}
	for _, l := range far {
		s.warn("moved-over-a-channel", l.At, "a line %s the cloth moved %.1f mm (%.1f channels) into channel %d",
			directions[l.Axis], s.movedBy(l)*s.grid.Pitch(l.Axis), s.movedBy(l), l.Channel)
	}
}

// movedBy returns how many channels an end of a line moved at most.
func (s *snapper) movedBy(l Line) float64 {
	return (math.Abs(l.Moved) + l.Swing) / s.grid.Pitch(l.Axis)
}

// lines reports the straights in the order of strokes, those along the cloth first.
func (s *snapper) lines() []Line {
	var out []Line
	next := s.straights // what is left to tell, by axis
	for i := range s.Strokes {
		for axis := range next {
			for len(next[axis]) > 0 && next[axis][0].stroke == i {
				out = append(out, s.line(next[axis][0]))
				next[axis] = next[axis][1:]
			}
		}
	}
	return out
}

func (s *snapper) line(r *straight) Line {
	now := float64(r.channel) * s.grid.Pitch(r.axis)
	l := Line{Axis: r.axis, Channel: r.channel, Was: r.mean, Moved: now - r.mean, Length: r.length(), Even: r.evened, Named: r.named != nil, Met: r.met}
	for _, k := range r.at {
		l.Swing = max(l.Swing, math.Abs(now-k.Fixed)-math.Abs(l.Moved))
	}
	l.At = s.moved[r.verts[0]].Lerp(s.moved[r.verts[len(r.verts)-1]], 0.5)
	return l
}

// shapeBent is the share by which a shape is said to be bent.
const shapeBent = 0.01

// tellBent warns, once, of rings that are bent, and of other closed strokes without
// lines on the weave that nothing else ends on: their width over their height is
// another by more than shapeBent.
func (s *snapper) tellBent(out []paths.Stroke) {
	bent := make([]float64, len(out)) // by what share, 0 where it is not to be told
	cores.Ranges(len(out), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			if s.whole[i] == nil && s.isRing(i) && (!s.hangsOn[i] || s.isRound(i)) {
				bent[i] = bentBy(s.Strokes[i].Bounds(), out[i].Bounds())
			}
		}
	})
	told, worst, most := 0, -1, 0.
	for i, by := range bent {
		if by > shapeBent {
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
