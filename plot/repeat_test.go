package plot

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

// Whatever the rug and the motif, all copies are the same in channels, stand on the border
// side of the room for the artwork, are symmetric about the rug's middle each way, and
// keep the rows that are promised free.
func TestMotifsCloseRoundTheRug(t *testing.T) {
	r := rand.New(rand.NewPCG(81, 82))
	made := map[string]int{}
	for n := range 90 {
		w, h := 8+30*r.Float64(), 8+30*r.Float64()
		pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
		motif := []paths.Stroke{
			paths.Polyline(pt(0, 0), pt(w, 0), pt(w, h/2), pt(w/2, h), pt(0, h/2), pt(0, 0)),
			{paths.Circle(pt(w/2, h/3), min(w, h)/5)},
		}
		art := []paths.Stroke{paths.Polyline(pt(0, 0), pt(100+50*r.Float64(), 0), pt(40, 60+80*r.Float64()), pt(0, 0))}
		s := job.Defaults()
		s.Width, s.Border, s.Clearance = paths.Length(350+300*r.Float64()), []string{"edge", "4", "4,2"}[n%3], 1+r.IntN(3)
		s.Repeat, s.RepeatGive = "b", job.Ways[r.IntN(3)]
		s.RepeatCorner = []string{"", "mitre", "c"}[r.IntN(3)]
		s.Craft = []job.Craft{job.PunchNeedle, job.Hooking}[r.IntN(2)]
		d := jobtest.DesignOf(art, motif, []paths.Stroke{paths.Polyline(pt(0, 0), pt(9, 0), pt(9, 9), pt(0, 0))})
		if s.RepeatCorner != "c" {
			d.Layers = d.Layers[:2]
		}
		laid, err := Lay(jobtest.Inputs(t, d, s), s)
		if err != nil {
			if !errors.Is(err, fault.Fit) || s.RepeatGive == job.GiveSize {
				t.Errorf("rug %d: %v", n, err)
			}
			continue
		}
		out, err := Snap(context.Background(), laid, Options{})
		if err != nil {
			t.Fatal(err)
		}
		made[s.RepeatGive]++
		checkBand(t, n, out)
	}
	if made[job.GiveGap] < 20 || made[job.GiveSize] < 20 {
		t.Errorf("made %v: too few to say much", made)
	}
}

func checkBand(t *testing.T, n int, out Snapped) {
	t.Helper()
	b, g := out.Band, out.Grid
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }
	count := 0
	inner := float64(b.From + b.Deep + out.Settings.ClearRows() + 1)
	at := map[weave.Place]bool{}
	for _, k := range out.Lines {
		lo, hi := g.PlaceOf(k.Bounds().Min), g.PlaceOf(k.Bounds().Max)
		switch {
		case k.Layer == "a" && (lo.Across < inner-0.03 || lo.Along < inner-0.03 || hi.Across > float64(b.NX)-inner+0.03 || hi.Along > float64(b.NY)-inner+0.03):
			t.Errorf("rug %d: artwork from %v to %v lies nearer to the motifs than %g channels from the edge", n, lo, hi, inner)
		case k.Layer == "b" && len(k.Stroke) == 5 && k.IsClosed(): // the outline of a whole motif
			count++
			wide, deep := hi.Across-lo.Across, hi.Along-lo.Along
			if wide < deep == (b.Plan.Width < b.Deep) {
				wide, deep = deep, wide
			}
			if a, c := max(wide, deep), min(wide, deep); !near(a, float64(max(b.Plan.Width, b.Deep))) || !near(c, float64(min(b.Plan.Width, b.Deep))) {
				t.Errorf("rug %d: a motif of %g by %g channels, not %d by %d", n, wide, deep, b.Plan.Width, b.Deep)
			}
			for _, v := range []float64{lo.Across, lo.Along, hi.Across, hi.Along} {
				if !near(v, math.Round(v)) {
					t.Errorf("rug %d: a motif begins or ends at channel %g", n, v)
				}
			}
			at[weave.Place{Across: math.Round(lo.Across + hi.Across), Along: math.Round(lo.Along + hi.Along)}] = true
		}
	}
	want := 2 * (len(b.Plan.Sides[0].Starts) + len(b.Plan.Sides[1].Starts))
	if out.Settings.RepeatCorner != job.CornerMitre && count != want || count < want {
		t.Errorf("rug %d: %d motifs, not %d", n, count, want)
	}
	for p := range at { // twice their middles
		if !at[weave.Place{Across: float64(2*b.NX) - p.Across, Along: p.Along}] || !at[weave.Place{Across: p.Across, Along: float64(2*b.NY) - p.Along}] {
			t.Errorf("rug %d: the motif at %v has no image", n, p)
		}
	}
}
