package plot

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

func onTheWeave(t *testing.T, d paths.Design, s job.Settings) Snapped {
	t.Helper()
	laid, err := Lay(jobtest.Inputs(t, d, s), s)
	if err != nil {
		t.Fatal(err)
	}
	out, err := Snap(context.Background(), laid, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Channels are counted from the rug's lower left corner, where its outline leans too.
func TestChannelsFromTheCorner(t *testing.T) {
	pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	outlines := [][4]paths.Point{{pt(0, 199.1), pt(200, 200), pt(200, 1), pt(0, 0)}}
	r := rand.New(rand.NewPCG(41, 42))
	for range 40 {
		lean := func() float64 { return 7 * r.Float64() }
		outlines = append(outlines, [4]paths.Point{pt(lean(), lean()), pt(200-lean(), lean()), pt(200-lean(), 200-lean()), pt(lean(), 200-lean())})
	}
	for n, o := range outlines {
		for _, craft := range []job.Craft{job.PunchNeedle, job.Hooking} {
			s := job.Defaults()
			s.Width, s.Craft = 18*25.4, craft
			out := onTheWeave(t, jobtest.DesignOf([]paths.Stroke{paths.Polyline(o[0], o[1], o[2], o[3], o[0])}), s)
			if len(out.Moves.Lines) != 4 {
				continue // one side leans too far to be a line on the weave
			}
			least := [2]int{1 << 30, 1 << 30}
			for _, l := range out.Moves.Lines {
				least[l.Axis] = min(least[l.Axis], l.Channel)
			}
			if least != [2]int{} {
				t.Errorf("outline %d, %s: the lower left corner is numbered %v", n, craft, least)
			}
			if p := out.Rug.Min; p.Dist(paths.Point{}) > 1e-9 {
				t.Errorf("outline %d, %s: the rug's corner lies at %v", n, craft, p)
			}
		}
	}
}

// What the sheet promises of the rows beside the border holds, whatever the artwork.
func TestClearanceIsKept(t *testing.T) {
	r := rand.New(rand.NewPCG(43, 44))
	for n := range 60 {
		var art []paths.Stroke
		for range 3 + r.IntN(6) {
			x, y, w, h := 150*r.Float64(), 150*r.Float64(), 5+50*r.Float64(), 5+50*r.Float64()
			art = append(art, paths.Polyline(paths.Point{X: x, Y: y}, paths.Point{X: x + w, Y: y + r.Float64()}, paths.Point{X: x + w, Y: y + h}, paths.Point{X: x, Y: y}),
				paths.Stroke{paths.Circle(paths.Point{X: 200 * r.Float64(), Y: 200 * r.Float64()}, 4+9*r.Float64())})
		}
		s := job.Defaults()
		s.Width, s.Border, s.Clearance = paths.Length(250+200*r.Float64()), "4,2", 1+r.IntN(4)
		out := onTheWeave(t, jobtest.DesignOf(art), s)
		inset := 5 + 3 + s.Clearance + 1
		room := paths.Rect{
			Min: paths.Point{X: float64(inset) * out.Grid.Across, Y: float64(inset) * out.Grid.Along},
			Max: paths.Point{X: (out.Layout.NX - float64(inset)) * out.Grid.Across, Y: (out.Layout.NY - float64(inset)) * out.Grid.Along},
		}
		drawn := paths.EmptyRect()
		for _, k := range out.Lines {
			if k.Layer != BorderLayer {
				drawn = drawn.Union(k.Bounds())
			}
		}
		if by, side := room.Grow(float64(s.Tolerance)).Excess(drawn); by > 0 {
			t.Errorf("design %d: artwork lies %.2f mm too near the border at the %s", n, by, side)
		}
	}
}

// Stripes are even, or nearest, by the job and by the layer.
func TestStripesByLayer(t *testing.T) {
	var low, high []paths.Stroke
	for i := range 31 {
		x := 7.3 * float64(i)
		low = append(low, paths.Polyline(paths.Point{X: x}, paths.Point{X: x, Y: 40}))
		high = append(high, paths.Polyline(paths.Point{X: x + 2, Y: 80}, paths.Point{X: x + 2, Y: 120}))
	}
	d := jobtest.DesignOf(low, high)
	spread := func(s job.Settings) (out [2]string) {
		moves := onTheWeave(t, d, s).Moves.Lines
		for i := range 2 {
			counts := map[int]bool{}
			for j := 31*i + 1; j < 31*(i+1); j++ {
				q := moves[j].Channel - moves[j-1].Channel
				counts[max(q, -q)] = true
			}
			out[i] = fmt.Sprint(counts)
		}
		return out
	}
	s := job.Defaults()
	for _, c := range []struct {
		stripes string
		layers  map[string]string
		want    [2]bool // even
	}{
		{"", nil, [2]bool{true, true}},
		{"nearest", nil, [2]bool{false, false}},
		{"nearest", map[string]string{"b": "even"}, [2]bool{false, true}},
		{"", map[string]string{"a": "nearest"}, [2]bool{false, true}},
	} {
		s.Stripes, s.StripesFor = c.stripes, c.layers
		got := spread(s)
		for i, even := range c.want {
			if want := fmt.Sprint(map[int]bool{3: true}); (got[i] == want) != even {
				t.Errorf("stripes %q, %v: layer %d has the counts %s", c.stripes, c.layers, i, got[i])
			}
		}
	}
	s.StripesFor = map[string]string{"sky": "even"}
	laid, err := Lay(jobtest.Inputs(t, d, s), s)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Snap(context.Background(), laid, Options{}); err == nil {
		t.Error("a layer that is not there is taken")
	}
}
