package scan

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
)

// Layer is the name of the one layer of a design that was traced.
const Layer = "drawing"

// DesignOf returns the line work of a page as a design: in mm on the page, in
// one layer. It returns an error for line work farther off the page than
// turning it square can have moved it: no drawing has such lines, and no pen
// should follow them.
func DesignOf(name string, p raster.Page, t Tracing) (paths.Design, error) {
	d := paths.Design{
		Name: name, HasSize: true,
		Page: paths.RectOf(paths.Point{}, paths.Point{X: float64(p.W) * p.MM, Y: float64(p.H) * p.MM}),
	}
	l := paths.Layer{Name: Layer}
	for _, s := range t.Strokes {
		far := d.Page.Grow(max(d.Page.Width(), d.Page.Height()) / 4)
		if by, side := far.Excess(s.Bounds()); by > 0 || s.Validate() != nil {
			return paths.Design{}, fmt.Errorf("%s: a line was found that leaves the page at the %s: the tracing went wrong", name, side)
		}
		l.Strokes = append(l.Strokes, paths.DesignStroke{Stroke: s, Element: "path", Width: t.LineMM, Colour: "#000"})
	}
	if len(l.Strokes) > 0 {
		d.Layers = []paths.Layer{l}
	}
	return d, nil
}
