package join

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// cubicLooks is how many looks it takes to cross a curve with a cubic.
const cubicLooks = 8

// halvingLooks is how many looks a halving of two curves takes as long as.
const halvingLooks = 4

// foundLooks is how many looks a crossing that is found counts as: it takes memory, also
// where very many lie in one place and make few cuts.
const foundLooks = 16

// splitAtCrossings cuts the parts where they cross one another, so that a pen may turn
// off there. Pieces stay in order. A place within tol of an end of either is left to
// where ends meet; a cubic is not cut where it crosses itself.
func splitAtCrossings(parts []part, tol float64, w *work) ([]part, error) {
	cuts := make([][]float64, len(parts))
	note := func(i int, t float64) {
		c := parts[i].Curve
		if p := c.At(t); t > 0 && t < 1 && c.Start().Dist(p) > tol && c.End().Dist(p) > tol {
			cuts[i] = append(cuts[i], t)
		}
	}
	err := pairsOf(parts, w, func(i, j int) int {
		found, halvings := paths.CountedCrossings(parts[i].Curve, parts[j].Curve, rounding)
		for _, x := range found {
			note(i, x.S)
			note(j, x.T)
		}
		return halvingLooks*halvings + foundLooks*len(found)
	})
	if err != nil {
		return nil, err
	}
	out := make([]part, 0, len(parts))
	for i, p := range parts {
		at := 0.
		slices.Sort(cuts[i])
		for _, t := range cuts[i] {
			if at > 0 && p.At(at).Dist(p.At(t)) <= tol && (t-at)*p.Length() <= 2*tol {
				continue // another line goes through the same place
			}
			out = append(out, p.between(at, t, false))
			at = t
		}
		if at == 0 {
			out = append(out, p)
		} else {
			out = append(out, p.between(at, 1, false))
		}
	}
	return out, w.do(cutLooks * (len(out) - len(parts)))
}

// pairsOf calls yield once for each pair of parts whose boxes, taken in short stretches,
// come into one cell of a grid. It counts the looks, with those that yield took besides.
func pairsOf(parts []part, w *work, yield func(i, j int) int) error {
	if len(parts) < 2 {
		return nil
	}
	box, length := paths.EmptyRect(), 0.
	for _, p := range parts {
		box, length = box.Union(p.Bounds()), length+p.Length()
	}
	// Cells as long as the mean part, but no more of them than some for each.
	side := max(length/float64(len(parts)), math.Sqrt(box.Width()*box.Height()/float64(4*len(parts))), math.Max(box.Width(), box.Height())/4096, rounding)
	stretches := func(i int, put func(paths.Rect)) {
		c := parts[i].Curve
		n := int(math.Ceil(c.Length()/side)) + 1
		for k := range n {
			put(paths.Sub(c, float64(k)/float64(n), float64(k+1)/float64(n)).Bounds().Grow(rounding))
		}
	}
	cells := near.NewCells(box.Grow(rounding), side, len(parts), stretches)
	seen := make([]int, len(parts)) // by part, the last one that met it, from 1
	var err error
	for i, p := range parts {
		b := p.Bounds().Grow(rounding)
		meet := func(j int32) {
			if int(j) <= i || seen[j] == i+1 || err != nil {
				return
			}
			seen[j] = i + 1
			if b.Overlaps(parts[j].Bounds().Grow(rounding)) {
				err = w.do(looksOf(p.Curve, parts[j].Curve) + yield(i, int(j)))
			}
		}
		stretches(i, func(r paths.Rect) {
			for _, at := range [4]paths.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, {X: r.Min.X, Y: r.Max.Y}, r.Max} {
				for _, j := range cells.At(at) {
					meet(j)
				}
			}
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// looksOf returns how many looks it takes to cross two curves.
func looksOf(a, b paths.Curve) int {
	_, cubicA := a.(paths.Cubic)
	_, cubicB := b.(paths.Cubic)
	if cubicA || cubicB {
		return cubicLooks
	}
	return 1
}
