package linework

import (
	"cmp"
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/paths/scan"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/tint"
)

// Layer is the name of the one layer of a design that was traced without its inks.
const Layer = "drawing"

// DesignOf returns the line work of a page as a design: in mm on the page, in one
// layer, or in one for each ink, the one with the longest lines first. It returns an
// error for line work farther off the page than turning it square can have moved it:
// no drawing has such lines, and no pen should follow them.
func DesignOf(name string, p raster.Page, t scan.Tracing) (paths.Design, error) {
	d := paths.Design{
		Name: name, HasSize: true,
		Page: paths.RectOf(paths.Point{}, paths.Point{X: float64(p.W) * p.MM, Y: float64(p.H) * p.MM}),
	}
	far := d.Page.Grow(max(d.Page.Width(), d.Page.Height()) / 4)
	for i, s := range t.Strokes {
		if by, side := far.Excess(s.Bounds()); by > 0 || s.Validate() != nil {
			return paths.Design{}, fmt.Errorf("%s: a line was found that leaves the page at the %s: the tracing went wrong", name, side)
		}
		layer, colour := Layer, "#000"
		if t.Inks != nil {
			layer, colour = t.Inks[i], tint.Colour(t.Inks[i])
		}
		k := slices.IndexFunc(d.Layers, func(l paths.Layer) bool { return l.Name == layer })
		if k < 0 {
			k = len(d.Layers)
			d.Layers = append(d.Layers, paths.Layer{Name: layer})
		}
		l := &d.Layers[k]
		l.Strokes = append(l.Strokes, paths.DesignStroke{Stroke: s, Element: "path", Width: t.LineMM, Colour: colour})
	}
	length := func(l paths.Layer) (sum float64) {
		for _, s := range l.Strokes {
			sum += s.Stroke.Length()
		}
		return sum
	}
	slices.SortStableFunc(d.Layers, func(a, b paths.Layer) int { return cmp.Compare(length(b), length(a)) })
	return d, nil
}
