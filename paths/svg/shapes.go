package svg

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
)

// view is what percentages of lengths refer to: the size of the nearest
// viewport in user units, and the font size.
type view struct{ w, h, em float64 }

// The standard's three kinds of reference (SVG 2, Coordinate systems, Units).
func (v view) x(l css.Length) float64 { return l.In(v.w, v.em) }
func (v view) y(l css.Length) float64 { return l.In(v.h, v.em) }
func (v view) diagonal(l css.Length) float64 {
	return l.In(paths.Point{X: v.w, Y: v.h}.Len()/sqrt2, v.em)
}

const sqrt2 = 1.4142135623730951

// shapeNames are the elements that draw line work of their own.
var shapeNames = map[string]bool{
	"path": true, "line": true, "polyline": true, "polygon": true, "rect": true, "circle": true, "ellipse": true,
}

// outline draws the geometry of a shape element (SVG 2, Basic shapes and
// Paths). The error says which part could not be read; the rest is drawn.
func (n *node) outline(p *shape.Pen, v view) error {
	g := geometry{n: n, v: v}
	switch n.name {
	case "path":
		d := n.attr("d")
		if style, ok := n.state.Property("d"); ok {
			d, _ = css.PathFunction(style)
		}
		if d != "none" {
			return shape.DrawPath(d, p)
		}
	case "line":
		p.MoveTo(paths.Point{X: g.x("x1"), Y: g.y("y1")})
		p.LineTo(paths.Point{X: g.x("x2"), Y: g.y("y2")})
		p.End()
	case "polyline", "polygon":
		return shape.DrawPoints(n.attr("points"), n.name == "polygon", p)
	case "circle":
		if r := g.diagonal("r"); r > 0 {
			p.Ellipse(paths.Point{X: g.x("cx"), Y: g.y("cy")}, r, r)
		}
	case "ellipse":
		g.ellipse(p)
	case "rect":
		g.rect(p)
	}
	return g.problem
}

// geometry reads the lengths of a shape, in user units; problem is the first
// that could not be read.
type geometry struct {
	n       *node
	v       view
	problem error
}

func (g *geometry) x(name string) float64        { return g.v.x(g.length(name)) }
func (g *geometry) y(name string) float64        { return g.v.y(g.length(name)) }
func (g *geometry) diagonal(name string) float64 { return g.v.diagonal(g.length(name)) }

func (g *geometry) length(name string) css.Length {
	l, err := g.n.length(name)
	if err != nil && g.problem == nil {
		g.problem = err
	}
	return l
}

func (g *geometry) ellipse(p *shape.Pen) {
	rx, ry, err := g.n.radii(g.v)
	if rx > 0 && ry > 0 {
		p.Ellipse(paths.Point{X: g.x("cx"), Y: g.y("cy")}, rx, ry)
	}
	if g.problem == nil {
		g.problem = err
	}
}

func (g *geometry) rect(p *shape.Pen) {
	w, h := g.x("width"), g.y("height")
	rx, ry, err := g.n.radii(g.v)
	if w > 0 && h > 0 {
		shape.DrawRect(paths.Point{X: g.x("x"), Y: g.y("y")}, w, h, min(rx, w/2), min(ry, h/2), p)
	}
	if g.problem == nil {
		g.problem = err
	}
}

// radii returns rx and ry. Where one is not given or not usable, it is equal to
// the other (SVG 2, Geometry properties, rx and ry: auto).
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

// geometry returns a geometry property: the value of a style rule, else the
// attribute.
func (n *node) geometry(name string) string {
	if v, ok := n.state.Property(name); ok {
		return v
	}
	return n.attr(name)
}

// length returns a geometry property as a length, zero when it is not given.
// The error quotes a value that is not a length.
func (n *node) length(name string) (css.Length, error) {
	text := n.geometry(name)
	if text == "" || text == "auto" {
		return css.Length{}, nil
	}
	l, ok := css.ParseLength(text)
	if !ok {
		return css.Length{}, fmt.Errorf("%s is %q, which is no length", name, lex.Excerpt(text))
	}
	return l, nil
}
