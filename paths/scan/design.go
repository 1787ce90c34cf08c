package scan

import (
	"weftplot/paths"
	"weftplot/paths/scan/raster"
)

// Layer is the name of the one layer of a design that was traced.
const Layer = "drawing"

// DesignOf returns the line work of a page as a design: in mm on the page, in
// one layer.
func DesignOf(name string, p raster.Page, t Tracing) paths.Design {
	d := paths.Design{
		Name: name, HasSize: true,
		Page: paths.RectOf(paths.Point{}, paths.Point{X: float64(p.W) * p.MM, Y: float64(p.H) * p.MM}),
	}
	l := paths.Layer{Name: Layer}
	for _, s := range t.Strokes {
		l.Strokes = append(l.Strokes, paths.DesignStroke{Stroke: s, Element: "path", Width: t.LineMM, Colour: "#000"})
	}
	if len(l.Strokes) > 0 {
		d.Layers = []paths.Layer{l}
	}
	return d
}
