package layout

import (
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/paths/weave"
)

// extent returns the box of a design with its words. The words are as wide as they will be
// set, before they are rounded to whole channels.
func extent(d paths.Design, a letters.Alphabet, g weave.Grid) (paths.Rect, error) {
	var cache letters.Cache
	const rows = 24 // high enough for proportions
	box := d.Bounds()
	for _, w := range d.Words {
		t, err := cache.Set(w.Text, letters.Options{Alphabet: a, Height: rows, Grid: g})
		if err != nil {
			return box, fault.At(d.Name, err)
		}
		k := w.Height / (rows * g.Along)
		lo, hi := g.At(t.Min).Mul(k), g.At(t.Max).Mul(k)
		hi.X += w.Spacing * float64(len(t.Letters)-1)
		m := paths.Translate(paths.Point{X: -Anchored(w.Anchor, hi.X)}).Then(paths.Rotate(w.Turn)).Then(paths.Translate(w.At))
		for _, p := range []paths.Point{lo, {X: hi.X, Y: lo.Y}, hi, {X: lo.X, Y: hi.Y}} {
			box = box.Include(m.Apply(p))
		}
	}
	return box, nil
}

// Anchored returns how far an anchor is from the left end of a line of a width.
func Anchored(a paths.Anchor, width float64) float64 {
	return float64(a) * width / 2
}
