package shape

import (
	"errors"

	"weftplot/paths"
	"weftplot/paths/svg/lex"
)

// DrawRect draws a rectangle clockwise, from the end of its rounded upper left
// corner.
func DrawRect(at paths.Point, w, h, rx, ry float64, p *Pen) {
	x, y := at.X, at.Y
	pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	if rx <= 0 || ry <= 0 {
		p.MoveTo(at)
		p.LineTo(pt(x+w, y))
		p.LineTo(pt(x+w, y+h))
		p.LineTo(pt(x, y+h))
		p.Close()
		return
	}
	left, right, top, bottom := x+rx, x+w-rx, y+ry, y+h-ry
	if 2*rx >= w { // no straight part, not even one as short as a rounding error
		left, right = x+w/2, x+w/2
	}
	if 2*ry >= h {
		top, bottom = y+h/2, y+h/2
	}
	corner := func(to paths.Point) { p.ArcTo(rx, ry, 0, false, true, to) }
	p.MoveTo(pt(left, y))
	p.LineTo(pt(right, y))
	corner(pt(x+w, top))
	p.LineTo(pt(x+w, bottom))
	corner(pt(right, y+h))
	p.LineTo(pt(left, y+h))
	corner(pt(x, bottom))
	p.LineTo(pt(x, top))
	corner(pt(left, y))
	p.Close()
}

// DrawPoints draws the corners of a polyline or polygon; an odd number at the
// end, or what follows an error, is left out (SVG 2, Basic shapes, points).
func DrawPoints(text string, closed bool, p *Pen) error {
	list, ok := lex.Numbers(text)
	for i := 0; i+1 < len(list) && !p.Spent(); i += 2 {
		q := paths.Point{X: list[i], Y: list[i+1]}
		if i == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
	}
	if closed && len(list) >= 2 {
		p.Close()
	}
	p.End()
	switch {
	case !ok:
		return errPoints
	case len(list)%2 == 1:
		return errOddPoints
	}
	return nil
}

var (
	errPoints    = errors.New("something else stands among the numbers of points")
	errOddPoints = errors.New("points ends with half a pair")
)
