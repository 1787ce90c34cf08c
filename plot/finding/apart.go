package finding

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// Apart returns how far apart two maps of a cloth put lines across their directions, at the
// most, in channels of the weave.
func Apart(lines []cloth.Passage, a, b cloth.Registration, g weave.Grid) float64 {
	most := 0.
	for _, l := range lines {
		at := g.PlaceOf(a.Point(l.Place).Sub(b.Point(l.Place)))
		along := paths.Point{X: l.Along.Across, Y: l.Along.Along}.Unit()
		most = max(most, math.Abs(along.Cross(paths.Point{X: at.Across, Y: at.Along})))
	}
	return most
}
