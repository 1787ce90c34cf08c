package snap

import (
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/warp"
	"weftplot/paths/weave/snap/web"
)

// Each curve of a crowd is compared with the map it follows at 400 places, many times
// as many as were looked at to make it. Source: brute force.
func TestCurvesFollowTheMapsEverywhere(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 8))
	for range 3 {
		in := crowd(60, 40+80*r.Float64(), 40+80*r.Float64())
		for range 15 { // long ones through all of it
			x, y := 100*r.Float64(), 100*r.Float64()
			in = append(in, paths.Stroke{paths.Cubic{A: pt(x, y), B: pt(x+40*r.Float64(), y+60), C: pt(x-40, y+30*r.Float64()), D: pt(x+10*r.Float64(), y-40)}})
		}
		s := &snapper{Web: web.New(in), grid: monks, opt: mustCheck(t, Options{}), pause: &pause{}}
		s.place()
		s.carry()
		worst, step := 0., s.finest()
		for i, st := range s.Strokes {
			for j, c := range st {
				if _, isLine := c.(paths.Line); isLine || s.isTaken(i, j) || s.whole[i] != nil {
					continue
				}
				a, b := s.movedEnds(i, j)
				f := s.fading(c, a, b)
				image := warp.Curve(c, f, a, b, s.opt.Tolerance, step)
				for k := range 401 {
					_, _, d := near.OnStroke(image, f(c.At(float64(k)/400)))
					worst = math.Max(worst, d)
				}
			}
		}
		if worst > s.opt.Tolerance {
			t.Errorf("a curve lies %.4f mm off the image of the maps, more than the tolerance %g", worst, s.opt.Tolerance)
		}
	}
}

func mustCheck(t *testing.T, o Options) Options {
	t.Helper()
	o, err := o.check(monks)
	if err != nil {
		t.Fatal(err)
	}
	return o
}
