package snap

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/web"
)

// snapped goes through the parts of Strokes and keeps what it knows.
func snapped(t *rapid.T, in []paths.Stroke, g weave.Grid, opt Options) (*snapper, Result) {
	opt, err := opt.check(g)
	if err != nil {
		t.Fatal(err)
	}
	s := &snapper{Web: web.New(in), grid: g, opt: opt}
	s.place()
	s.carry()
	return s, s.result()
}

// Promise 1: every line of a straight lies in its channel, every corner of two straights
// where two channels cross. Promise 2: what lies on a straight stays on it.
func TestPromiseChannelsAndCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, _ := snapped(t, sketch(t), monks, Options{Angle: rapid.Float64Range(0.5, 10).Draw(t, "angle")})
		for axis, straights := range s.straights {
			axis := weave.Axis(axis)
			for _, r := range straights {
				want := float64(r.channel) * monks.Pitch(axis)
				lo, hi := math.Inf(1), math.Inf(-1)
				for _, v := range r.verts {
					fixed, along := axis.Split(s.moved[v])
					if fixed != want {
						t.Fatalf("vertex %d of a run lies at %v, its channel at %v", v, fixed, want)
					}
					lo, hi = min(lo, along), max(hi, along)
				}
				for v, p := range s.Vertices {
					fixed, along := axis.Split(p)
					if along > r.lo() && along < r.hi() && math.Abs(fixed-r.fixedAt(along)) <= web.Joint/2 {
						// In its channel exactly. Where a crossing straight holds it, it lies
						// where the two channels cross, which may be just past the end.
						held := s.on[1-axis][v] != nil
						if q, to := axis.Split(s.moved[v]); q != want || !held && (to < lo-1e-9 || to > hi+1e-9) {
							t.Fatalf("vertex %d lay on the middle of a run and went to %v", v, s.moved[v])
						}
					}
				}
			}
		}
	})
}

// Promise 3: order kept, and a channel between those more than half a channel
// apart, where they overlap.
func TestPromiseOrderAndDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, out := snapped(t, sketch(t), monks, Options{Angle: 3})
		crowded := slices.ContainsFunc(out.Warnings, func(w weave.Warning) bool { return w.Code == "no-room-between-lines" })
		for axis, straights := range s.straights {
			pitch := monks.Pitch(weave.Axis(axis))
			for _, a := range straights {
				for _, b := range straights {
					if a.mean >= b.mean || a.hi() <= b.lo() || b.hi() <= a.lo() {
						continue
					}
					if a.channel > b.channel {
						t.Fatalf("lines at %g and %g changed sides: %d, %d", a.mean, b.mean, a.channel, b.channel)
					}
					if b.mean-a.mean > choice.Apart*pitch+1e-6 && a.channel == b.channel && !crowded {
						t.Fatalf("lines at %g and %g, %g channels apart, share channel %d", a.mean, b.mean, (b.mean-a.mean)/pitch, a.channel)
					}
				}
			}
		}
	})
}

// Lines that all lie in channels stay there.
func TestSnapTwice(t *testing.T) {
	done := 0
	rapid.Check(t, func(t *rapid.T) {
		opt := Options{Angle: 3}
		_, once := snapped(t, sketch(t), monks, opt)
		_, twice := snapped(t, once.Strokes, monks, opt)
		for _, l := range twice.Lines {
			if !onChannel(l.Was, monks.Pitch(l.Axis)) {
				return // one that has come to lie on the weave only now
			}
		}
		for i, l := range twice.Lines {
			if math.Abs(l.Moved) > 1e-9 {
				t.Fatalf("line %d moved again: %+v", i, l)
			}
			done++
		}
	})
	if done == 0 {
		t.Error("nothing was compared")
	}
}

// A stripe stays even wherever it lies and whatever its width.
func TestStripesStayEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "lines")
		d := rapid.Float64Range(0.6, 9).Draw(t, "spacing") // channels
		x := rapid.Float64Range(0, 50).Draw(t, "start")
		var in []paths.Stroke
		for i := range n {
			in = append(in, paths.Polyline(pt((x+d*float64(i))*monks.Across, 10), pt((x+d*float64(i))*monks.Across, 60)))
		}
		// Something uneven beside it.
		in = append(in, paths.Polyline(pt((x+d*float64(n)+1.7)*monks.Across, 0), pt((x+d*float64(n)+1.7)*monks.Across, 80)))
		out := mustSnap(t, in, monks, Options{})
		for i := 2; i < n; i++ {
			if a, b := out.Lines[i-1].Channel-out.Lines[i-2].Channel, out.Lines[i].Channel-out.Lines[i-1].Channel; a != b || a < 1 {
				t.Fatalf("%d lines %g channels apart from %g: counts %d and %d: %+v", n, d, x, a, b, out.Lines)
			}
		}
	})
}

// A symmetric design stays symmetric, its stripes even, and its curves with it.
func TestSymmetryIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		axis := rapid.Float64Range(60, 90).Draw(t, "axis")
		var in []paths.Stroke
		for range rapid.IntRange(1, 5).Draw(t, "pairs") {
			x := rapid.Float64Range(0.2, 50).Draw(t, "x")
			y := rapid.Float64Range(0, 50).Draw(t, "y")
			h := rapid.Float64Range(8, 40).Draw(t, "h")
			half := paths.Stroke{
				paths.Line{A: pt(axis-x, y), B: pt(axis-x, y+h)},
				paths.Cubic{A: pt(axis-x, y+h), B: pt(axis-x-4, y+h+4), C: pt(axis-x-7, y+h), D: pt(axis-x-9, y+h-5)},
			}
			in = append(in, half, half.Transform(paths.MirrorX(axis)))
		}
		out := mustSnap(t, in, monks, Options{})
		centre := out.Strokes[0].Start().X + out.Strokes[1].Start().X
		if c := centre / monks.Across; math.Abs(c-math.Round(c)) > 1e-9 || math.Abs(centre-2*axis) > 3*monks.Across {
			t.Fatalf("the axis went from %g to %g", axis, centre/2)
		}
		for i := 0; i < len(in); i += 2 {
			a, b := out.Strokes[i].Transform(paths.MirrorX(centre/2)), out.Strokes[i+1]
			if a.Start().Dist(b.Start()) > 1e-6 || a.End().Dist(b.End()) > 2*math.Abs(centre/2-axis)+0.2 { // far from every line nothing moves
				t.Fatalf("pair %d: %v and %v are no mirror images", i/2, a, b)
			}
		}
	})
}

// Fixed lines hold, and others keep off them.
func TestFixedLinesHold(t *testing.T) {
	fixed := []weave.FixedLine{{Axis: weave.Across, Hi: 200}, {Axis: weave.Across, Channel: 4, Hi: 200}}
	var in []paths.Stroke
	for i := range 5 { // five lines where three channels are free
		x := (0.7 + 0.6*float64(i)) * monks.Across
		in = append(in, paths.Polyline(pt(x, 20), pt(x, 90)))
	}
	out := mustSnap(t, in, monks, Options{Fixed: fixed})
	warned := 0
	for _, w := range out.Warnings {
		if w.Code == "no-room-between-lines" {
			warned++
		}
	}
	if warned == 0 {
		t.Error("five lines found room in three channels")
	}
	for i, l := range out.Lines {
		if l.Channel < 1 || l.Channel > 3 || i > 0 && l.Channel < out.Lines[i-1].Channel {
			t.Errorf("line %d went to channel %d", i, l.Channel)
		}
	}
}

// What touched a slanting line touches it still, beside a straight that moves.
func TestSlantingLinesKeepWhatTouches(t *testing.T) {
	roof := paths.Polyline(pt(10, 10), pt(40, 40))
	in := []paths.Stroke{
		paths.Polyline(pt(20.9, 5), pt(20.9, 60)), roof,
		paths.Polyline(pt(22, 22), pt(60, 30)),       // from the roof
		paths.Polyline(pt(24.4, 24.4), pt(24.4, 60)), // a stem on the roof
		{paths.Cubic{A: pt(18, 18), B: pt(0, 30), C: pt(5, 50), D: pt(10, 60)}},
	}
	out := mustSnap(t, in, monks, Options{})
	a, d := out.Strokes[1].Start(), out.Strokes[1].End().Sub(out.Strokes[1].Start())
	for _, i := range []int{2, 3, 4} {
		p := out.Strokes[i].Start()
		if off := math.Abs(p.Sub(a).Cross(d)) / d.Len(); off > 1e-9 {
			t.Errorf("stroke %d starts %g mm off the line it touched", i, off)
		}
	}
	if p := out.Strokes[3]; p.Start().X != p.End().X || !onChannel(p.Start().X, monks.Across) {
		t.Errorf("the stem on the roof runs %v", p)
	}
}

// A slanting side drawn as several lines stays straight as a whole, where it meets the
// lines across it.
func TestSlantingSideStaysStraight(t *testing.T) {
	var in []paths.Stroke
	for i := range 6 { // a tower, narrower upwards, in courses
		y, w := 10+float64(i)*17.7, 30-float64(i)*2.3
		in = append(in, paths.Polyline(pt(70-w, y), pt(70-w+2.3, y+17.7), pt(70+w-2.3, y+17.7), pt(70+w, y), pt(70-w, y)))
	}
	for i := range 9 { // a railing that is pulled even
		x := 50 + float64(i)*5.1
		in = append(in, paths.Polyline(pt(x, 118), pt(x, 135)))
	}
	out := mustSnap(t, in, monks, Options{})
	left := func(i int) paths.Point { return out.Strokes[i].Start() }
	a := left(0)
	d := out.Strokes[5][0].End().Sub(a)
	for i := 1; i < 6; i++ {
		if off := math.Abs(left(i).Sub(a).Cross(d)) / d.Len(); off > 1e-9 {
			t.Errorf("course %d starts %g mm off the tower's side", i, off)
		}
		if y := left(i).Y; !onChannel(y, monks.Along) {
			t.Errorf("course %d lies at %g, in no channel", i, y)
		}
	}
}

// Two strokes that lean into each other are not pressed into one line.
func TestForksAreLeftAlone(t *testing.T) {
	v := []paths.Stroke{paths.Polyline(pt(50, 0), pt(48, 60)), paths.Polyline(pt(50, 0), pt(52.5, 60))}
	x := []paths.Stroke{paths.Polyline(pt(48, 0), pt(52, 80)), paths.Polyline(pt(52.2, 0), pt(48, 80))}
	for name, in := range map[string][]paths.Stroke{"fork": v, "cross": x} {
		out := mustSnap(t, in, monks, Options{Angle: 5})
		if len(out.Lines) != 1 || out.Strokes[0].Bounds().Width()+out.Strokes[1].Bounds().Width() < 1 {
			t.Errorf("%s: %+v", name, out.Lines)
		}
	}
}

func TestFarMovesAreWarnedOf(t *testing.T) {
	out := mustSnap(t, []paths.Stroke{paths.Polyline(pt(40, 0), pt(50, 200))}, monks, Options{Angle: 3})
	if len(out.Warnings) != 1 || out.Warnings[0].Code != "moved-over-a-channel" || !strings.Contains(out.Warnings[0].Message, "along the cloth") {
		t.Errorf("warnings %+v", out.Warnings)
	}
	if w := out.Lines[0].Swing + math.Abs(out.Lines[0].Moved); w < 4.9 || w > 6.1 {
		t.Errorf("an end moved %g mm, want about 5", w)
	}
}
