package knife

import (
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/profiles"
)

// runInGap is how far beside the drawing a run-in lies, mm: clear of it, and near
// enough to lie on the sheet still.
const runInGap = 3

// RunIn returns a cut in the waste beside the drawing: below it, or where the
// machine does not reach there, above, on the left or on the right. Where there is no room
// it returns a [fault.Fit]; said are the units of its words.
func RunIn(m profiles.Machine, drawing paths.Rect, p profiles.Pen, said paths.System) (paths.Line, error) {
	length := float64(p.RunIn)
	right, up := paths.Point{X: length}, paths.Point{Y: length}
	beside := drawing.Grow(runInGap)
	for _, c := range []struct{ from, by paths.Point }{
		{paths.Point{X: drawing.Min.X, Y: beside.Min.Y}, right},
		{paths.Point{X: drawing.Min.X, Y: beside.Max.Y}, right},
		{paths.Point{X: beside.Min.X, Y: drawing.Min.Y}, up},
		{paths.Point{X: beside.Max.X, Y: drawing.Min.Y}, up},
	} {
		to := c.from.Add(c.by)
		holder := to.Add(c.by.Unit().Mul(float64(p.Offset)))
		if reach := m.Reach(); reach.Contains(c.from) && reach.Contains(holder) {
			return paths.Line{A: c.from, B: to}, nil
		}
	}
	return paths.Line{}, fault.TooBig("pen "+p.Name+": run_in", "leave room beside the drawing ([at], a larger machine), or set run_in to 0mm and turn the blade by hand",
		"there is no room of %s beside the drawing for a run-in of %s", paths.Length(runInGap).In(said), p.RunIn.In(said))
}
