package plot

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/plot/job/jobtest"
)

// TestOverlapsAreWorthTheirLifts: as [TestSmoothPathsStayWhole], of drawings in which lines
// share stretches on purpose: strands of a braid that run together and part again, and
// outlines that were drawn over, a little beside themselves; and rings. Where the pen may turn off at
// crossings, there are never more strokes than where it may not, and crossing rings need one.
func TestOverlapsAreWorthTheirLifts(t *testing.T) {
	for k := range *smoothCases {
		rng := rand.New(rand.NewPCG(uint64(k), 20))
		for _, c := range []struct {
			name    string
			strokes []paths.Stroke
		}{{"braid", braid(rng, 6, 40)}, {"drawn over", drawnOver(rng, 12)}, {"rings", rings(rng, 14)}} {
			d := jobtest.DesignOf(c.strokes)
			for _, snapped := range []bool{false, true} {
				merged, mm := strokesOf(t, d, snapped, false)
				kept, _ := strokesOf(t, d, snapped, true)
				through, _ := strokesThrough(t, d, snapped)
				t.Logf("%-10s %d, snapped %-5v: %3d strokes, %3d with doubles kept, %.2f mm merged; %d through crossings", c.name, k, snapped, merged, kept, mm, through)
				if more := merged - kept; float64(more)*inkOfALift > mm*(1+1e-9) {
					t.Errorf("%s %d, snapped %v: %d strokes more for %.2f mm of ink", c.name, k, snapped, more, mm)
				}
				if through > merged || c.name == "rings" && through > merged/2 { // a group of rings is one stroke
					t.Errorf("%s %d, snapped %v: %d strokes through crossings, and %d without", c.name, k, snapped, through, merged)
				}
			}
		}
	}
}

// braid returns strands that go from lane to lane of a field of 160 by 50 mm, and lie in
// one lane where they meet.
func braid(rng *rand.Rand, strands, steps int) []paths.Stroke {
	const lane, step = 10.0, 4.0
	var out []paths.Stroke
	for range strands {
		at := paths.Point{Y: lane * float64(rng.IntN(6))}
		var s paths.Stroke
		for range steps {
			to := at.Add(paths.Point{X: step})
			if rng.IntN(3) == 0 {
				to.Y = lane * float64(rng.IntN(6))
			}
			if to.Y == at.Y {
				s = append(s, paths.Line{A: at, B: to})
			} else { // level at both ends, so that strands part like rails
				s = append(s, paths.Cubic{A: at, B: at.Add(paths.Point{X: step / 2}), C: to.Sub(paths.Point{X: step / 2}), D: to})
			}
			at = to
		}
		out = append(out, s)
	}
	return out
}

// rings returns circles in a field of 160 by 90 mm, of which many cross.
func rings(rng *rand.Rand, n int) []paths.Stroke {
	var out []paths.Stroke
	for range n {
		out = append(out, paths.Stroke{paths.Circle(paths.Point{X: 160 * rng.Float64(), Y: 90 * rng.Float64()}, 8+16*rng.Float64())})
	}
	return out
}

// drawnOver returns circles' arcs, each with a second one that lies on it, or up to 0.03 mm
// beside it, for a random part of its way and leaves it at both ends.
func drawnOver(rng *rand.Rand, n int) []paths.Stroke {
	var out []paths.Stroke
	for range n {
		centre := paths.Point{X: 160 * rng.Float64(), Y: 90 * rng.Float64()}
		r, from := 8+20*rng.Float64(), 2*math.Pi*rng.Float64()
		whole := paths.ArcAround(centre, r, from, 2+4*rng.Float64())
		part := paths.ArcAround(centre, r+0.03*(2*rng.Float64()-1)*float64(rng.IntN(2)), from+0.3, 0.02+1.5*rng.Float64())
		tail := part.End().Add(paths.Point{X: 12 * rng.Float64(), Y: 12})
		out = append(out, paths.Stroke{whole}, paths.Stroke{part, paths.Line{A: part.End(), B: tail}})
	}
	return out
}
