// Package truth measures how well line work was recovered from a picture:
// drawings that are known exactly, pictures of them as paper, pencil and a
// scanner would make them, and a measure of how far what was found is from what
// was drawn. It shares no code with the tracing that it judges, and is for
// tests only. Pictures take time and memory in proportion to their pixels, a
// comparison time in proportion to the length of the lines.
package truth

import (
	"weftplot/paths"
)

// Drawing is line work on a sheet, in mm, y up, the lower left corner of the
// sheet at the origin.
type Drawing struct {
	Name    string
	W, H    float64
	Strokes []paths.Stroke
}

// Fit returns strokes as a drawing on a sheet of w by h mm, scaled and moved so
// that they fill it to within margin mm of its sides.
func Fit(name string, strokes []paths.Stroke, w, h, margin float64) Drawing {
	box := paths.BoundsOf(strokes)
	k := min((w-2*margin)/box.Width(), (h-2*margin)/box.Height())
	c := box.Centre()
	m := paths.Translate(c.Mul(-1)).Then(paths.Scale(k, k)).Then(paths.Translate(paths.Point{X: w / 2, Y: h / 2}))
	return Drawing{name, w, h, transformed(strokes, m)}
}

// Turned returns the drawing turned about the middle of its sheet by deg
// degrees, counter-clockwise.
func (d Drawing) Turned(deg float64) Drawing {
	mid := paths.Point{X: d.W / 2, Y: d.H / 2}
	m := paths.Translate(mid.Mul(-1)).Then(paths.Rotate(deg * degree)).Then(paths.Translate(mid))
	d.Strokes = transformed(d.Strokes, m)
	return d
}

func transformed(strokes []paths.Stroke, m paths.Affine) []paths.Stroke {
	out := make([]paths.Stroke, len(strokes))
	for i, s := range strokes {
		out[i] = s.Transform(m)
	}
	return out
}
