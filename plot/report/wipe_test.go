package report

import (
	"context"
	"strconv"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// TestWipes: a pen is wiped between strokes, with the tip up, before it has drawn
// more than it may, unless one stroke alone is longer.
func TestWipes(t *testing.T) {
	for _, place := range [][]paths.Length{nil, {20, 30}} {
		for _, language := range profiles.Languages {
			if place != nil && language != profiles.GCode && !*thorough {
				continue
			}
			s := job.Defaults()
			s.Language, s.Effort, s.Width = language, "quick", 400
			in := jobtest.Inputs(t, programtest.ReadDesign(t, "../../cmd/weftplot/demo/lighthouse-mat.svg"), s)
			pen := in.Pens[s.Pen]
			pen.WipeEvery = 1500
			in.Pens[s.Pen], in.Machine.WipeAt = pen, place
			in.Machine.HPGL.NotReady = language != profiles.GCode
			j, err := plot.Make(context.Background(), in, s, plot.Options{})
			if err != nil {
				t.Fatal(err)
			}
			visits := wipesIn(t, j, place)
			rep := Of(j, Options{})
			least := int(rep.DrawMM/1500) - 1
			if visits != rep.Pens[0].Wipes || visits < least || least < 3 {
				t.Errorf("%s, place %v: %d wipes, the report says %d; %.0f mm are drawn", language, place, visits, rep.Pens[0].Wipes, rep.DrawMM)
			}
			if !strings.Contains(string(Sheet(j, rep, Options{})), "fine-marker "+strconv.Itoa(visits)+" times") {
				t.Errorf("the sheet does not say that the tip is wiped %d times:\n%s", visits, Sheet(j, rep, Options{}))
			}
			plain := pen
			plain.WipeEvery = 0
			in.Pens[s.Pen] = plain
			without, err := plot.Make(context.Background(), in, s, plot.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if rep.TravelMM <= Of(without, Options{}).TravelMM || rep.TimeS <= Of(without, Options{}).TimeS {
				t.Errorf("%s, place %v: wiping takes neither way nor time", language, place)
			}
		}
	}
}

// wipesIn counts the wipes in a program as it is written, and holds them to what
// they promise.
func wipesIn(t *testing.T, j plot.Job, place []paths.Length) int {
	t.Helper()
	n, drawn, stroke, down := 0, 0.0, 0.0, false
	wiped := func() {
		n++
		if down {
			t.Error("a pen is wiped while it is down")
		}
		if drawn > 1500+1 && drawn-stroke > 0 {
			t.Errorf("%.0f mm are drawn without a wipe, the last stroke %.0f", drawn, stroke)
		}
		drawn = 0
	}
	for _, b := range j.PenRuns[0].Program.Blocks {
		switch b.Kind {
		case program.PenDown:
			down, stroke = true, 0
		case program.PenUp:
			down = false
		case program.Draw:
			drawn, stroke = drawn+b.Curve.Length(), stroke+b.Curve.Length()
		case program.Pause:
			if place != nil {
				t.Error("the program stops though there is a place to wipe at")
			}
			wiped()
		case program.Travel:
			if place != nil && b.Curve.End().Dist(paths.Point{X: float64(place[0]), Y: float64(place[1])}) < 0.02 {
				wiped()
			}
		}
	}
	return n
}
