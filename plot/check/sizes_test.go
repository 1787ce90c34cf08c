package check

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/report"
)

// A size that is proposed for stripes is one at which every line goes into the channel
// nearest to it, whatever repeats, and all are equal.
func TestProposedSizesAreWhole(t *testing.T) {
	proposed := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 20).Draw(t, "stripes")
		wide := rapid.Float64Range(11, 20).Draw(t, "wide")
		var lines []paths.Stroke
		for i := range n + 1 {
			x := wide * float64(i)
			lines = append(lines, paths.Polyline(paths.Point{X: x}, paths.Point{X: x, Y: 60}))
		}
		s := job.Defaults()
		s.Name, s.Machine = "stripes", job.NoMachine
		s.Border = rapid.SampledFrom([]string{"", "edge", "4"}).Draw(t, "border")
		d := jobtest.DesignOf(lines)
		j, err := plot.Make(context.Background(), jobtest.Inputs(t, d, job.Defaults()), s, plot.Options{})
		if err != nil {
			t.Fatal(err)
		}
		sizes, err := proposeSizes(context.Background(), j, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range sizes {
			if p.Forced > 0 {
				continue
			}
			proposed++
			if p.Message == "" || len(p.Counts) == 0 || p.SizeMM < 0.75*j.Layout.Width || p.SizeMM > 1.25*j.Layout.Width {
				t.Fatalf("proposed for %g mm: %+v", j.Layout.Width, p)
			}
			at := s
			at.Width, at.Stripes = paths.Length(p.SizeMM), job.StripesNearest
			l, err := plot.Lay(jobtest.Inputs(t, d, job.Defaults()), at)
			if err != nil {
				t.Fatal(err)
			}
			sn, err := plot.Snap(context.Background(), l)
			if err != nil {
				t.Fatal(err)
			}
			channels := map[int]bool{}
			least, most := 1<<30, 0
			for _, k := range sn.Moves.Lines {
				if k.Axis == weave.Across {
					channels[k.Channel] = true
					least, most = min(least, k.Channel), max(most, k.Channel)
				}
			}
			if len(channels) != n+1 || (most-least)%n != 0 {
				t.Fatalf("%d lines in %d channels from %d to %d at %s", n+1, len(channels), least, most, p.Message)
			}
			for c := least; c <= most; c += (most - least) / n {
				if !channels[c] {
					t.Fatalf("no line in channel %d of %d to %d at %s", c, least, most, p.Message)
				}
			}
		}
	})
	if proposed == 0 {
		t.Error("nothing was ever proposed")
	}
}
