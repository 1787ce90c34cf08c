package svg

import (
	"errors"
	"fmt"

	"weftplot/paths"
)

// view is what percentages of lengths refer to: the size of the nearest
// viewport in user units, and the font size.
type view struct{ w, h, em float64 }

// The standard's three kinds of reference (SVG 2, Coordinate systems, Units).
func (v view) x(l length) float64 { return l.in(v.w, v.em) }
func (v view) y(l length) float64 { return l.in(v.h, v.em) }
func (v view) diagonal(l length) float64 {
	return l.in(paths.Point{X: v.w, Y: v.h}.Len()/sqrt2, v.em)
}

const sqrt2 = 1.4142135623730951

// shapeNames are the elements that draw line work of their own.
var shapeNames = map[string]bool{
	"path": true, "line": true, "polyline": true, "polygon": true, "rect": true, "circle": true, "ellipse": true,
}

// outline draws the geometry of a shape element (SVG 2, Basic shapes and
// Paths). The error says what of it could not be read; the rest is drawn.
func (n *node) outline(p *pen, v view) (problem error) {
	num := func(name string, resolve func(length) float64) float64 {
		l, err := n.length(name)
		if err != nil && problem == nil {
			problem = err
		}
		return resolve(l)
	}
	switch n.name {
	case "path":
		d := n.attr("d")
		if style, ok := n.prop("d"); ok {
			d, _ = pathFunction(style)
		}
		if d != "none" {
			return drawPath(d, p)
		}
	case "line":
		p.moveTo(paths.Point{X: num("x1", v.x), Y: num("y1", v.y)})
		p.lineTo(paths.Point{X: num("x2", v.x), Y: num("y2", v.y)})
		p.lift()
	case "polyline", "polygon":
		return drawPoints(n.attr("points"), n.name == "polygon", p)
	case "circle":
		if r := num("r", v.diagonal); r > 0 {
			p.oval(paths.Point{X: num("cx", v.x), Y: num("cy", v.y)}, r, r)
		}
	case "ellipse":
		rx, ry, err := n.radii(v)
		if rx > 0 && ry > 0 {
			p.oval(paths.Point{X: num("cx", v.x), Y: num("cy", v.y)}, rx, ry)
		}
		if problem == nil {
			problem = err
		}
	case "rect":
		w, h := num("width", v.x), num("height", v.y)
		rx, ry, err := n.radii(v)
		if w > 0 && h > 0 {
			drawRect(paths.Point{X: num("x", v.x), Y: num("y", v.y)}, w, h, min(rx, w/2), min(ry, h/2), p)
		}
		if problem == nil {
			problem = err
		}
	}
	return problem
}

// radii returns rx and ry, each standing for the other where that is not given
// or not usable (SVG 2, Geometry properties, rx and ry: auto).
func (n *node) radii(v view) (rx, ry float64, err error) {
	lx, errX := n.length("rx")
	ly, errY := n.length("ry")
	rx, ry = v.x(lx), v.y(ly)
	autoX := n.isAuto("rx") || errX != nil || rx < 0
	autoY := n.isAuto("ry") || errY != nil || ry < 0
	switch {
	case autoX && autoY:
		rx, ry = 0, 0
	case autoX:
		rx = ry
	case autoY:
		ry = rx
	}
	if errX == nil {
		errX = errY
	}
	return rx, ry, errX
}

func (n *node) isAuto(name string) bool {
	s := n.geometry(name)
	return s == "" || s == "auto"
}

// drawRect draws a rectangle from the end of its upper left corner clockwise.
func drawRect(at paths.Point, w, h, rx, ry float64, p *pen) {
	x, y := at.X, at.Y
	pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	if rx <= 0 || ry <= 0 {
		p.moveTo(at)
		p.lineTo(pt(x+w, y))
		p.lineTo(pt(x+w, y+h))
		p.lineTo(pt(x, y+h))
		p.close()
		return
	}
	left, right, top, bottom := x+rx, x+w-rx, y+ry, y+h-ry
	if 2*rx >= w { // no straight part, not even one of the last bit
		left, right = x+w/2, x+w/2
	}
	if 2*ry >= h {
		top, bottom = y+h/2, y+h/2
	}
	corner := func(to paths.Point) { p.arcTo(rx, ry, 0, false, true, to) }
	p.moveTo(pt(left, y))
	p.lineTo(pt(right, y))
	corner(pt(x+w, top))
	p.lineTo(pt(x+w, bottom))
	corner(pt(right, y+h))
	p.lineTo(pt(left, y+h))
	corner(pt(x, bottom))
	p.lineTo(pt(x, top))
	corner(pt(left, y))
	p.close()
}

// drawPoints draws the corners of a polyline or polygon; an odd number at the
// end, or what follows an error, is left out (SVG 2, Basic shapes, points).
func drawPoints(text string, closed bool, p *pen) error {
	list, ok := numbers(text)
	for i := 0; i+1 < len(list) && !p.spent(); i += 2 {
		q := paths.Point{X: list[i], Y: list[i+1]}
		if i == 0 {
			p.moveTo(q)
		} else {
			p.lineTo(q)
		}
	}
	if closed && len(list) >= 2 {
		p.close()
	}
	p.lift()
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

// geometry returns a geometry property: what a style rule says of it, else the
// attribute.
func (n *node) geometry(name string) string {
	if v, ok := n.prop(name); ok {
		return v
	}
	return n.attr(name)
}

// length returns a geometry property as a length, zero when it is not given.
// The error quotes what is no length.
func (n *node) length(name string) (length, error) {
	text := n.geometry(name)
	if text == "" || text == "auto" {
		return length{}, nil
	}
	l, ok := parseLength(text)
	if !ok {
		return length{}, fmt.Errorf("%s is %q, which is no length", name, excerpt(text))
	}
	return l, nil
}
