package plot

import (
	"flag"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/profiles"
)

var (
	promiseCases = flag.Int("promisecases", 1, "how many drawings of random curves are judged by their bytes; of one, at one tolerance only")
	promiseFirst = flag.Uint64("promisefirst", 1, "the seed of the first of them")
)

// TestPromiseOfRandomCurves: whatever curves a drawing has, the bytes of every language,
// and of every form of G-code, draw it within what is promised.
func TestPromiseOfRandomCurves(t *testing.T) {
	forms := []struct {
		name     string
		language profiles.Language
		gcode    profiles.Controller
	}{
		{"gcode", profiles.GCode, profiles.Controller{Arcs: profiles.ByCentre}},
		{"compact", profiles.GCode, profiles.Controller{Arcs: profiles.ByCentre, Compact: true}},
		{"compact by radius", profiles.GCode, profiles.Controller{Arcs: profiles.ByRadius, Compact: true}},
		{"hpgl", profiles.HPGL, profiles.Controller{Arcs: profiles.ByCentre}},
		{"hpgl2", profiles.HPGL2, profiles.Controller{Arcs: profiles.ByCentre}},
	}
	for k := range *promiseCases {
		seed := *promiseFirst + uint64(k)
		d := jobtest.DesignOf(randomCurves(rand.New(rand.NewPCG(seed, 19)), 40))
		for _, tol := range []paths.Length{0.01, 0.05, 0.2} {
			if *promiseCases == 1 && tol != 0.05 {
				continue
			}
			for _, f := range forms {
				s := job.Defaults()
				s.Tolerance, s.Language, s.Effort, s.NoSnap, s.Width = tol, f.language, "quick", seed%2 == 0, 330
				in := jobtest.Inputs(t, d, s)
				in.Machine.GCode = f.gcode
				promised, strays, bytes := offAsked(t, in, s)
				t.Logf("seed %d within %.2f mm in %-17s: %.4f mm of %.4f, %d bytes", seed, float64(tol), f.name, strays, promised, bytes)
				if strays > promised {
					t.Errorf("seed %d within %v in %s: strays by %.4f mm, and %.4f are promised", seed, tol, f.name, strays, promised)
				}
			}
		}
	}
}

// randomCurves returns strokes of one to eight pieces, large and small, open and closed:
// lines, arcs of up to three quarters of a circle, cubics that go on smoothly or do not,
// the chords of such, and whole circles.
func randomCurves(rng *rand.Rand, n int) []paths.Stroke {
	var out []paths.Stroke
	for range n {
		at := paths.Point{X: 40 + 220*rng.Float64(), Y: 40 + 150*rng.Float64()}
		size := 1 + 29*rng.Float64()*rng.Float64()
		by := func() paths.Point {
			return paths.Point{X: size * (2*rng.Float64() - 1), Y: size * (2*rng.Float64() - 1)}
		}
		if rng.IntN(8) == 0 {
			out = append(out, paths.Stroke{paths.Circle(at, size)})
			continue
		}
		var s paths.Stroke
		start, ahead := at, by()
		for range 1 + rng.IntN(8) {
			to := at.Add(by())
			switch rng.IntN(5) {
			case 0:
				s = append(s, paths.Line{A: at, B: to})
			case 1:
				s = append(s, paths.ArcBulge(at, to, 4*rng.Float64()-2))
			case 2:
				c := paths.Stroke{paths.Cubic{A: at, B: at.Add(by()), C: to.Add(by()), D: to}}
				s = append(s, paths.Polyline(c.Flatten(0.02)...)...)
			default: // goes on in the direction of the last
				back := by()
				s = append(s, paths.Cubic{A: at, B: at.Add(ahead), C: to.Sub(back), D: to})
				ahead = back
			}
			at = to
		}
		if rng.IntN(3) == 0 {
			s = append(s, paths.Line{A: at, B: start})
		}
		out = append(out, s)
	}
	return out
}
