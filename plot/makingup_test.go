package plot

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

// Lines for making up lie in channels, outside the rug and inside the margin, each on
// its layer, symmetric about the rug, and leave the rug and the rest of the drawing as
// they are.
func TestMakingUpLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		frame := paths.Polyline(paths.Point{}, paths.Point{X: 200, Y: 3}, paths.Point{X: 200, Y: 150}, paths.Point{})
		d := jobtest.DesignOf(append(jobtest.Strokes(t), frame))
		s := wordsSettings(t)
		s.Margin = "4in"
		plainly := snappedOf(t, d, s)
		s.Ticks, s.Hem, s.Fold, s.Cut = true, "7", "12rows", job.AtMargin
		j := snappedOf(t, d, s)
		if j.Rug != plainly.Rug {
			t.Fatalf("the rug is %v, not %v", j.Rug, plainly.Rug)
		}
		var rest []Stroke
		layers := map[string]int{}
		for _, k := range j.Drawn {
			if !j.IsForMakingUp(k) {
				rest = append(rest, k)
				continue
			}
			layers[k.Layer]++
			b := k.Bounds()
			if !j.Rug.Grow(j.Margin+1e-6).Contains(b.Min) || !j.Rug.Grow(j.Margin+1e-6).Contains(b.Max) {
				t.Fatalf("%s reaches %v, beyond the margin round %v", k.Layer, b, j.Rug)
			}
			for _, c := range k.Stroke {
				p, q := j.Grid.PlaceOf(c.Start()), j.Grid.PlaceOf(c.End())
				inOne := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 && math.Abs(a-math.Round(a)) < 1e-6 }
				if !inOne(p.Across, q.Across) && !inOne(p.Along, q.Along) {
					t.Fatalf("%s: a line from %v to %v lies in no channel", k.Layer, p, q)
				}
			}
		}
		if layers[HemLayer] != 1 || layers[FoldLayer] != 1 || layers[CutLayer] != 1 || layers[TicksLayer] < 12 {
			t.Fatalf("%v", layers)
		}
		if len(rest) != len(plainly.Drawn) || !slices.EqualFunc(rest, plainly.Drawn, func(a, b Stroke) bool {
			return a.Layer == b.Layer && slices.Equal(a.Stroke, b.Stroke)
		}) {
			t.Fatal("the drawing is another one")
		}
	})
}

// What does not fit into the margin is refused, and a cutting line inside the hem.
func TestMakingUpRefused(t *testing.T) {
	d := jobtest.DesignOf([]paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: 200}, paths.Point{X: 200, Y: 150}, paths.Point{})})
	for name, c := range map[string]struct {
		set  func(*job.Settings)
		kind error
	}{
		"a hem beyond the margin": {func(s *job.Settings) { s.Margin, s.Hem = "1in", "12" }, fault.Fit},
		"ticks without a margin":  {func(s *job.Settings) { s.Margin, s.Ticks = "5mm", true }, fault.Fit},
		"a cut inside the hem":    {func(s *job.Settings) { s.Hem, s.Cut = "12", "12" }, fault.Input},
		"no number":               {func(s *job.Settings) { s.Fold = "wide" }, fault.Input},
		"less than no rows":       {func(s *job.Settings) { s.Cut = "-1" }, fault.Input},
	} {
		s := job.Defaults()
		s.Border = "edge"
		c.set(&s)
		l, err := Lay(jobtest.Inputs(t, d, s), s)
		if err == nil {
			_, err = Snap(context.Background(), l, Options{})
		}
		if !errors.Is(err, c.kind) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
