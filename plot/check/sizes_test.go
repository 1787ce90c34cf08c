package check

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
	_ "weftplot/paths/samecases"
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
			sn, err := plot.Snap(context.Background(), l, plot.Options{})
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

// ruled draws a design of what rug makers rule: stripes, squares, gables and crossed
// squares in a row, diamonds and zigzags, mm.
func ruled(t *rapid.T) (out []paths.Stroke) {
	pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	line := func(pts ...paths.Point) { out = append(out, paths.Polyline(pts...)) }
	n := rapid.IntRange(3, 5).Draw(t, "motifs")
	w := rapid.Float64Range(24, 40).Draw(t, "wide")
	step := w + rapid.Float64Range(6, 20).Draw(t, "gap")
	kind := rapid.SampledFrom([]string{"stripes", "squares", "gables", "saltires", "diamonds", "zigzag", "held zigzag"}).Draw(t, "kind")
	rise := w / rapid.SampledFrom([]float64{1, 2, 0.5}).Draw(t, "ratio") / 2
	for i := range n {
		x := step * float64(i)
		switch kind {
		case "stripes":
			line(pt(x, 0), pt(x, 80))
			line(pt(x+w, 0), pt(x+w, 80))
		case "squares":
			line(pt(x, 0), pt(x+w, 0), pt(x+w, w), pt(x, w), pt(x, 0))
		case "gables":
			line(pt(x, 0), pt(x+w, 0), pt(x+w, w), pt(x+w/2, w+rise), pt(x, w), pt(x, 0))
			line(pt(x, w), pt(x+w, w))
		case "saltires":
			line(pt(x, 0), pt(x+w, 0), pt(x+w, 2*rise), pt(x, 2*rise), pt(x, 0))
			line(pt(x, 0), pt(x+w, 2*rise))
			line(pt(x, 2*rise), pt(x+w, 0))
		case "diamonds":
			line(pt(x, rise), pt(x+w/2, 0), pt(x+w, rise), pt(x+w/2, 2*rise), pt(x, rise))
		default: // a zigzag, alone or between two lines
			x = w * float64(i)
			line(pt(x, 0), pt(x+w/2, rise), pt(x+w, 0))
		}
	}
	if kind == "held zigzag" {
		line(pt(0, 0), pt(w*float64(n), 0))
		line(pt(0, rise), pt(w*float64(n), rise))
	}
	return out
}

// A size that is proposed without a doubt holds when it is taken as it is written: the job
// made at it has no warning of lines and channels, and all that repeats is equal.
func TestProposedSizesHold(t *testing.T) {
	proposed, bordered, diagonals := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		s := job.Defaults()
		s.Name, s.Machine = "ruled", job.NoMachine
		s.Border = rapid.SampledFrom([]string{"", "edge", "4", "4,2"}).Draw(t, "border")
		d := jobtest.DesignOf(ruled(t))
		in := jobtest.Inputs(t, d, job.Defaults())
		j, err := plot.Make(context.Background(), in, s, plot.Options{})
		if errors.Is(err, fault.Input) || errors.Is(err, fault.Fit) {
			t.Skip(err) // too low for its border
		}
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
			written, err := paths.ParseLength(strings.TrimSuffix(strings.Fields(p.Message)[1], ","))
			if err != nil {
				t.Fatal(err)
			}
			proposed++
			if s.Border != "" {
				bordered++
			}
			if p.Diagonals > 0 {
				diagonals++
			}
			at := s
			at.Width = written
			taken, err := plot.Make(context.Background(), in, at, plot.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range report.Of(taken, report.Options{}).Warnings {
				if slices.Contains([]string{"spacing-uneven", "spacing-evened", "diagonals-left", "moved-over-a-channel", "no-room-between-lines"}, w.Code) {
					t.Fatalf("taken at %s: %s: %s", p.Message, w.Code, w.Message)
				}
			}
			if forced(taken.Moves) > 0 || len(taken.Moves.Diagonals) != p.Diagonals {
				t.Fatalf("taken at %s: %d are forced, %d diagonals", p.Message, forced(taken.Moves), len(taken.Moves.Diagonals))
			}
		}
	})
	if proposed == 0 {
		t.Error("nothing was ever proposed")
	}
	t.Logf("%d proposals, %d with a border, %d with diagonals", proposed, bordered, diagonals)
}

// How many sizes are tried goes by all curves, however few strokes they are in.
func TestSizesToTry(t *testing.T) {
	of := func(strokes, curves int) []plot.Stroke {
		one := plot.Stroke{Stroke: make(paths.Stroke, curves)}
		return slices.Repeat([]plot.Stroke{one}, strokes)
	}
	for _, tt := range []struct{ strokes, curves, want int }{
		{0, 0, mostTriedStrokes}, {1, 1, mostTriedStrokes}, {1000, 1, 3}, {5000, 2, 1},
		{1, 10_000, 2}, {1, 39_000, 1}, {1, 40_001, 0}, {40_001, 1, 0},
	} {
		if got := sizesToTry(of(tt.strokes, tt.curves)); got != tt.want {
			t.Errorf("%d strokes of %d curves: %d sizes, want %d", tt.strokes, tt.curves, got, tt.want)
		}
	}
}
