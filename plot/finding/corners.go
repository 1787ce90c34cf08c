package finding

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	pathsnear "weftplot/paths/near"
	"weftplot/paths/weave"
)

// leastTurn is the sine of the least angle of a corner that a person can find.
const leastTurn = 0.35

// Corners lists corners of ink within the load, also those that lie beside the channels, the
// nearest to where it meets the ink first, no two so near that one is taken for the other,
// nor near places that are found already.
func (l Load) Corners(ink []paths.Stroke, found []weave.Place) []weave.Place {
	const (
		edge  = 2.  // mm within the load
		apart = 4.  // mm
		most  = 120 // corners
	)
	var all []paths.Point
	far := map[paths.Point]float64{}
	for _, s := range ink {
		for i := 1; i < len(s); i++ {
			p := s[i].Start()
			if math.Abs(s[i-1].Tangent(1).Cross(s[i].Tangent(0))) > leastTurn && l.Box.Grow(-edge).Contains(p) {
				all, far[p] = append(all, p), math.Inf(1)
				for _, m := range l.Meets {
					far[p] = min(far[p], l.Grid.At(m.Place).Dist(p))
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b paths.Point) int {
		return cmp.Or(cmp.Compare(far[a], far[b]), cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X))
	})
	_, kept := pathsnear.Leaders(all, apart, nil)
	var out []weave.Place
	for _, i := range kept[:min(most, len(kept))] {
		p := l.Grid.PlaceOf(all[i])
		if !near(p, found, apart/l.Grid.Across, apart/l.Grid.Along) {
			out = append(out, p)
		}
	}
	return out
}
