package window

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// leastTurn is the sine of the least angle of a corner that a person can find.
const leastTurn = 0.35

// Corners returns corners of the ink that make a load sure where it meets it, at most so
// many, in the order in which they are found: for ink that has no crossings in channels.
func (l Load) Corners(ink []paths.Stroke, meets []weave.Place, most int) []weave.Place {
	at := l.corners(ink, meets)
	plan, err := cloth.NewPlan(l.Grid, cloth.Prior{Noise: noise}, meets, at)
	if err != nil {
		return nil // too few, or all on one line
	}
	var out []weave.Place
	for _, i := range plan.Choose(cloth.Bound{Greatest: cloth.MostError, Usual: cloth.EnoughError}, most).Indices {
		out = append(out, at[i])
	}
	return out
}

// corners lists those within the load, the nearest to where it meets the ink first, no two
// so near that one is taken for the other.
func (l Load) corners(ink []paths.Stroke, meets []weave.Place) []weave.Place {
	const edge, apart, most = 2, 4, 120 // mm, mm
	var all []paths.Point
	far := map[paths.Point]float64{}
	for _, s := range ink {
		for i := 1; i < len(s); i++ {
			p := s[i].Start()
			if math.Abs(s[i-1].Tangent(1).Cross(s[i].Tangent(0))) > leastTurn && l.Box.Grow(-edge).Contains(p) {
				all, far[p] = append(all, p), math.Inf(1)
				for _, m := range meets {
					far[p] = min(far[p], l.Grid.At(m).Dist(p))
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b paths.Point) int {
		return cmp.Or(cmp.Compare(far[a], far[b]), cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X))
	})
	_, kept := near.Leaders(all, apart, nil)
	var out []weave.Place
	for _, i := range kept[:min(most, len(kept))] {
		out = append(out, l.Grid.PlaceOf(all[i]))
	}
	return out
}
