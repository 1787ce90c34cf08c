package snap

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// Hatching closer than the channels stays as wide as it is drawn, to two channels at
// each end, in order, and the lines that share channels are told in one sentence; what
// lies round it stays.
func TestHatchingKeepsItsSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(8, 80).Draw(t, "lines")
		d := rapid.Float64Range(0.05, 0.95).Draw(t, "spacing") // channels
		x := rapid.Float64Range(20, 30).Draw(t, "start")
		var in []paths.Stroke
		line := func(at, lo, hi float64) {
			in = append(in, paths.Polyline(pt(at*monks.Across, lo), pt(at*monks.Across, hi)))
		}
		for i := range n {
			line(x+d*float64(i), 40, 60)
		}
		frame := []float64{5, x + d*float64(n) + 15}
		for _, at := range frame {
			line(math.Round(at), 0, 100)
		}
		out := mustSnap(t, in, monks, Options{})
		lo, hi, shared := math.MaxInt, math.MinInt, false
		for i, l := range out.Lines {
			if i >= n {
				// What the row may grow moves the frame by a channel at most.
				if want := int(math.Round(frame[i-n])); l.Channel < want-1 || l.Channel > want+1 {
					t.Errorf("the frame's line in channel %d came to lie in %d", want, l.Channel)
				}
				continue
			}
			if i > 0 && l.Channel < out.Lines[i-1].Channel {
				t.Fatalf("line %d lies in channel %d, after %d", i, l.Channel, out.Lines[i-1].Channel)
			}
			shared = shared || i > 0 && l.Channel == out.Lines[i-1].Channel
			lo, hi = min(lo, l.Channel), max(hi, l.Channel)
		}
		if wide := d * float64(n-1); float64(hi-lo) > wide+5 || float64(hi-lo) < wide-1.5 {
			t.Errorf("%d lines %g apart, over %g channels, came to lie over %d", n, d, wide, hi-lo)
		}
		told := slices.ContainsFunc(out.Warnings, func(w weave.Warning) bool {
			return w.Code == "lines-share-channels" && strings.Contains(w.Message, "each would have its own")
		})
		if told != (shared && d > 0.5) && d > 0.51 {
			t.Errorf("%d lines %g apart: shared %v, told %v: %v", n, d, shared, told, out.Warnings)
		}
	})
}

// The lines of a narrow zigzag hang on each other by their ends, and lie closer than the
// channels. They stay where they are drawn, to a channel, though no two that meet can lie
// in different ones: at each channel a line leads on to the next, and is on none.
func TestNarrowZigzagKeepsItsSize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(20, 600).Draw(t, "lines")
		d := rapid.Float64Range(0.02, 0.24).Draw(t, "step") // channels
		wide := rapid.Float64Range(30, 200).Draw(t, "width")
		upright := rapid.Bool().Draw(t, "upright")
		pitch := monks.Along
		if upright {
			pitch = monks.Across
		}
		pts := make([]paths.Point, n+1)
		for i := range pts {
			if pts[i] = pt(wide*float64(i%2), d*pitch*float64(i)); upright {
				pts[i] = pt(pts[i].Y, pts[i].X)
			}
		}
		out := mustSnap(t, []paths.Stroke{paths.Polyline(pts...)}, monks, Options{})
		if out.MaxMoved > 1.1*pitch {
			t.Errorf("%d lines %g channels apart: one moved %.2f mm", n, d, out.MaxMoved)
		}
		for i, c := range out.Strokes[0] {
			if by := c.Start().Sub(pts[i]); max(math.Abs(by.X), math.Abs(by.Y)) > 1.6*pitch {
				t.Fatalf("corner %d moved by %v", i, by)
			}
		}
	})
}
