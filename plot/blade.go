package plot

import (
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/knife"
	"weftplot/profiles"
)

// overcutOffsets is how far a closed cut goes on over its start, in offsets of
// the blade, so that its ends meet (common practice: the offset or a little
// more).
const overcutOffsets = 1.5

// towBlade returns the ways that the blade's holder goes to make the cuts: the
// run-in first, if the pen has one, then each cut as often as it has passes.
func (o Ordered) towBlade(cuts []Stroke, p profiles.Pen) ([]Stroke, error) {
	offset, passes := float64(p.Offset), max(1, p.Passes)
	blade := knife.Blade{
		Offset: offset, Overcut: overcutOffsets * offset, Passes: passes,
		// Over a turn smaller than this the tip strays no more than fitting may.
		Swing: o.tolerance(o.bladeShare()) / max(offset, 1e-6),
	}
	var out []Stroke
	if p.RunIn > 0 && len(cuts) > 0 {
		var err error
		if blade.RunIn, err = runIn(o.Inputs.Machine, boundsOf(cuts), p, o.Settings.Said); err != nil {
			return nil, err
		}
	}
	ways := knife.Ways(plain(cuts), blade)
	if extra := len(ways) - passes*len(cuts); extra > 0 {
		out, ways = append(out, Stroke{ways[0], runInLayer}), ways[1:]
	}
	for i, w := range ways {
		out = append(out, Stroke{w, cuts[i/passes].Layer})
	}
	return out, nil
}

// runInLayer is the name of the layer that a blade's run-in is in.
const runInLayer = "run-in"

// runInGap is how far beside the drawing a run-in lies, mm: clear of it, and near
// enough to lie on the sheet still.
const runInGap = 3

// runIn returns a cut in the waste beside the drawing: below it, or where the
// machine does not reach there, above, on the left or on the right.
func runIn(m profiles.Machine, drawing paths.Rect, p profiles.Pen, said paths.System) (paths.Line, error) {
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
