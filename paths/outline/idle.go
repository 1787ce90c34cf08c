package outline

import "weftplot/paths"

// Some of what is laid into a cell changes nothing there, wherever in the cell it lies. A
// sheer fill adds its colour to what is seen, but not under a sheer one of that colour that
// lies over all of the cell. And a fill that winds round the points of a cell several times,
// as a star does within its tips, covers the cell although its boundary comes in, if that
// cannot unwind it.

// mostTurning is how many parts a fill may have that is asked whether it covers cells which
// its boundary comes into. Of longer ones it takes too many looks to count the turns.
const mostTurning = 64

// isTinted reports whether a fill that is laid into a cell is sheer and would show there only
// a colour that higher ones show all over the cell already.
func (p *plane) isTinted(c *cell, l layer) bool {
	f := &p.fills[l.fill]
	if !f.Sheer || l.windowed || p.through[l.fill] != nil {
		return false
	}
	p.budget -= len(c.across) / 8
	for _, higher := range c.across {
		g := &p.fills[higher]
		if higher > l.fill && g.Sheer && g.Colour == f.Colour && p.through[higher] == nil {
			return true
		}
	}
	return false
}

// windsTwice reports whether a winder of few parts may turn more than once round a point:
// whether its boundaries rise at least twice.
func (p *plane) windsTwice(w *winder) bool {
	if w.from == w.to || p.boundaries[w.to-1].to-p.boundaries[w.from].from > mostTurning {
		return false
	}
	rises := 0
	for b := w.from; b < w.to; b++ {
		c := &p.boundaries[b]
		up := false
		for k := c.from; k < c.to; k++ {
			switch from, to := p.parts[k].c.Start().Y, p.parts[k].c.End().Y; {
			case to > from && !up:
				up = true
				rises++
			case to < from:
				up = false
			}
		}
		if up && p.parts[c.from].c.End().Y > p.parts[c.from].c.Start().Y {
			rises-- // the last rise goes on as the first
		}
	}
	return rises > 1
}

// coversItself reports whether all of a cell lies in a fill whose boundary comes in as some
// pieces. In the middle of the cell the fill turns so many times. The straight way from there
// to any other point crosses a line once at most, from the side on which the middle is. Of
// any other part, which rises or falls all along, it may pass to and fro, but as the places
// follow one another on both alike, to no more effect than once. If the parts that turn back
// are fewer than the turns, there is no point round which there are none.
func (p *plane) coversItself(c *cell, fill int32, pieces []piece) bool {
	w := &p.winders[fill]
	if !w.twice || p.crowded != crowded {
		return false
	}
	middle := c.box.Centre()
	if p.budget -= 1 + len(pieces)/8; !w.box.Contains(middle) {
		return false
	}
	turns := int(p.turnsRound(w, middle))
	sign := 1
	if turns < 0 {
		turns, sign = -turns, -1
	}
	last := int32(-1)
	for _, s := range pieces {
		if turns == 0 {
			return false
		}
		if s.part != last && p.turnsBack(s.part, middle, sign) {
			turns--
		}
		last = s.part
	}
	return turns > 0
}

// turnsBack reports whether a winder may turn less often, in the sense of a sign, beyond a
// part of its boundary than on the side of a point. On the right of a part it turns once
// more than on the left.
func (p *plane) turnsBack(part int32, q paths.Point, sign int) bool {
	l, ok := p.parts[part].c.(paths.Line)
	if !ok {
		return true
	}
	along := l.B.Sub(l.A)
	left := along.Cross(q.Sub(l.A))
	return -left*float64(sign) > -reach*p.tol*along.Len()
}
