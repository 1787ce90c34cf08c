package snap

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave/snap/choice"
)

var thorough = flag.Bool("thorough", false, "three times as many lines in hard designs")

// Designs that are hard on the algorithms rather than likely: they must end, and
// soon. (The whole table takes a few seconds at most; no time is judged here.)
func TestHardDesigns(t *testing.T) {
	share := 3 // of the lines of each
	if *thorough {
		share = 1
	}
	r := rand.New(rand.NewPCG(29, 30))
	many := func(n int, f func(i int) paths.Stroke) []paths.Stroke {
		out := make([]paths.Stroke, max(1, n/share))
		for i := range out {
			out[i] = f(i)
		}
		return out
	}
	var noise []paths.Point
	for i := range 50000 / share {
		noise = append(noise, pt(50+r.Float64()*0.1, float64(i)*0.01))
	}
	for name, in := range map[string][]paths.Stroke{
		"one line many times":          many(3000, func(int) paths.Stroke { return paths.Polyline(pt(33, 0), pt(33, 500)) }),
		"a hatch finer than the weave": many(1500, func(i int) paths.Stroke { x := float64(i) * 0.2; return paths.Polyline(pt(x, 0), pt(x, 500)) }),
		"stairs":                       many(1, func(int) paths.Stroke { return stairs(4000 / share) }),
		"a noisy upright":              {paths.Polyline(noise...)},
		"a mesh":                       many(800, func(i int) paths.Stroke { return mesh(i) }),
		"a fan":                        many(500, func(i int) paths.Stroke { return paths.Polyline(pt(100, 0), pt(90+float64(i)*0.04, 300)) }),
	} {
		out := mustSnap(t, in, monks, Options{})
		if len(out.Strokes) != len(in) {
			t.Errorf("%s: %d strokes became %d", name, len(in), len(out.Strokes))
		}
		for i, s := range out.Strokes {
			if err := s.Validate(); err != nil || len(s) == 0 {
				t.Errorf("%s: stroke %d: %v", name, i, err)
				break
			}
		}
		t.Logf("%s: %d lines, %d warnings, moved up to %.2f mm", name, len(out.Lines), len(out.Warnings), out.MaxMoved)
		pushed := 0. // channels, to keep sizes that recur equal
		for _, r := range out.Rhythms {
			pushed += math.Abs(float64(r.Count)-r.Size) * float64(r.Places)
		}
		for _, l := range out.Lines {
			if math.Abs(l.Moved) > (choice.MostMoved+1+pushed)*monks.Pitch(l.Axis) {
				t.Errorf("%s: a line moved %g mm", name, l.Moved)
				break
			}
		}
	}
}

func stairs(n int) paths.Stroke {
	pts := []paths.Point{pt(0, 0)}
	for i := range n {
		p := pts[len(pts)-1]
		if i%2 == 0 {
			pts = append(pts, pt(p.X, p.Y+7.3))
		} else {
			pts = append(pts, pt(p.X+6.9, p.Y))
		}
	}
	return paths.Polyline(pts...)
}

// mesh draws one line of a square mesh, its crossings its vertices.
func mesh(i int) paths.Stroke {
	var pts []paths.Point
	for j := range 30 {
		if i%2 == 0 {
			pts = append(pts, pt(float64(i)*1.7, float64(j)*8.3))
		} else {
			pts = append(pts, pt(float64(j)*8.3, float64(i)*1.7))
		}
	}
	return paths.Polyline(pts...)
}
