package snap

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// Whatever is drawn in the room stays in it, lines and curves.
func TestRoomIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := sketch(t)
		b := paths.BoundsOf(in)
		left, bottom := 8, 9
		nx, ny := int(math.Ceil(b.Width()/monks.Across)), int(math.Ceil(b.Height()/monks.Along))
		move := monks.At(weave.Place{Across: float64(left), Along: float64(bottom)}).Sub(b.Min)
		for i := range in {
			in[i] = in[i].Transform(paths.Translate(move))
		}
		room := &Room{Left: left, Right: left + nx, Bottom: bottom, Top: bottom + ny}
		_, fixed, _, err := weave.Border(nx+2*left+10, ny+2*bottom+10, []int{2}, monks)
		if err != nil {
			t.Fatal(err)
		}
		opt := Options{Room: room, Fixed: fixed}
		out, err := Strokes(in, monks, opt)
		if err != nil {
			t.Fatal(err)
		}
		if by, side := room.rect(monks).Grow(0.05).Excess(paths.BoundsOf(out.Strokes)); by > 0 {
			t.Fatalf("the drawing sticks out of its room by %g mm at the %s", by, side)
		}
		for _, l := range out.Lines {
			if s := room.span(l.Axis); l.Channel < s.Lo || l.Channel > s.Hi {
				t.Fatalf("a line went into channel %d, out of %+v", l.Channel, *s)
			}
		}
	})
}

// A ring that reaches to the side of the room stays round where the stripes under it move
// towards that side: it keeps to the room, as all does.
func TestRingAtTheSideOfTheRoomStaysRound(t *testing.T) {
	const pitch = 25.4 / 12
	var in []paths.Stroke
	for i := range 7 {
		x := (11 + 2.7*float64(i)) * pitch
		in = append(in, paths.Polyline(pt(x, 25), pt(x, 150)))
	}
	for _, x := range []float64{30 - 4.2, 11 + 4.2} { // the stripes end 2.8 channels before the right side
		in = append(in[:7:7], paths.Stroke{paths.Circle(pt(x*pitch, 80), 4.2*pitch)})
		room := &Room{Left: 11, Right: 30, Bottom: 11, Top: 79}
		out := mustSnap(t, in, monks, Options{Room: room})
		b := out.Strokes[7].Bounds()
		if r := b.Width() / b.Height(); math.Abs(r-1) > 1e-6 {
			t.Errorf("a ring about channel %g came out %.2f x %.2f", x, b.Width(), b.Height())
		}
		if by, side := room.rect(monks).Grow(1e-6).Excess(b); by > 0 {
			t.Errorf("the ring about channel %g sticks out of the room by %g mm at the %s", x, by, side)
		}
	}
}

// A ring over stripes that are evened stays round, and goes on lying over them; one
// that has no place is told of.
func TestRingsStayRound(t *testing.T) {
	var stripes []paths.Stroke
	for i := range 7 {
		stripes = append(stripes, paths.Polyline(pt(7.3*float64(i), 0), pt(7.3*float64(i), 120)))
	}
	ring := paths.Stroke{paths.Circle(pt(21.9, 60), 20.05)}
	out := mustSnap(t, append(stripes, ring), monks, Options{})
	b := out.Strokes[7].Bounds()
	if math.Abs(b.Width()-40.1) > 1e-6 || math.Abs(b.Height()-40.1) > 1e-6 {
		t.Errorf("a ring of 40.1 mm came out %.2f x %.2f", b.Width(), b.Height())
	}
	if c, want := b.Centre().X, out.Strokes[3].Start().X; math.Abs(c-want) > 0.01 {
		t.Errorf("its middle lies at %.3f, the middle stripe at %.3f", c, want)
	}

	// Between two lines that close in on it there is no place.
	tight := []paths.Stroke{
		paths.Polyline(pt(0, 0), pt(0, 60)), paths.Polyline(pt(20.95, 0), pt(20.95, 60)), {paths.Circle(pt(10.475, 30), 10.4)},
	}
	out = mustSnap(t, tight, weave.Grid{Across: 10, Along: 2}, Options{})
	if b := out.Strokes[2].Bounds(); b.Width() > 20 {
		t.Errorf("the disc is %.2f wide between lines 20 apart", b.Width())
	}
	told := false
	for _, w := range out.Warnings {
		told = told || w.Code == "shape-bent"
	}
	if !told {
		t.Errorf("nothing is said of it: %+v", out.Warnings)
	}
}

// A ring on a stem goes with the stem, round.
func TestRingOnAStem(t *testing.T) {
	in := []paths.Stroke{
		paths.Polyline(pt(20.9, 0), pt(20.9, 50)), {paths.Circle(pt(20.9, 60), 10)},
		paths.Polyline(pt(60.1, 0), pt(60.1, 90)), paths.Polyline(pt(0, -5.1), pt(90, -5.1)),
	}
	out := mustSnap(t, in, monks, Options{})
	b, top := out.Strokes[1].Bounds(), out.Strokes[0].End()
	if math.Abs(b.Width()-20) > 1e-6 || math.Abs(b.Height()-20) > 1e-6 || math.Abs(b.Min.Y-top.Y) > 1e-6 || math.Abs(b.Centre().X-top.X) > 1e-6 {
		t.Errorf("the stem ends at %v, the ring lies in %v", top, b)
	}
}

// Loose strokes go where they are nearest.
func TestLooseStrokes(t *testing.T) {
	var in []paths.Stroke
	for i := range 31 {
		in = append(in, paths.Polyline(pt(7.3*float64(i), 0), pt(7.3*float64(i), 90)))
	}
	even := mustSnap(t, in, monks, Options{})
	loose := mustSnap(t, in, monks, Options{Loose: func(int) bool { return true }})
	for i := range in {
		if got := even.Lines[i].Channel - even.Lines[0].Channel; got != 3*i {
			t.Fatalf("even stripe %d lies %d channels from the first", i, got)
		}
		if m := math.Abs(loose.Lines[i].Moved) / monks.Across; m > 1 {
			t.Errorf("loose stripe %d moved %.2f channels", i, m)
		}
	}
	if len(even.Rhythms) != 1 || even.Rhythms[0].Places != 30 || even.Rhythms[0].Count != 3 || even.Rhythms[0].Lost != 0 {
		t.Errorf("rhythms %+v", even.Rhythms)
	}
	if len(loose.Rhythms) != 0 {
		t.Errorf("loose strokes have rhythms: %+v", loose.Rhythms)
	}
}

// Stripes held by fixed lines at both ends that are no whole number apart get the
// most regular counts: any two runs of as many differ by one at most.
func TestRegularBetweenFixedLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 30).Draw(t, "spacings")
		total := rapid.IntRange(n, 5*n).Draw(t, "channels")
		d := float64(total) / float64(n)
		fixed := []weave.FixedLine{{Axis: weave.Across, Hi: 100}, {Axis: weave.Across, Channel: total, Hi: 100}}
		var in []paths.Stroke
		for i := 1; i < n; i++ {
			x := d * float64(i) * monks.Across
			in = append(in, paths.Polyline(pt(x, 0), pt(x, 100)))
		}
		out := mustSnap(t, in, monks, Options{Fixed: fixed})
		at := []int{0}
		for _, l := range out.Lines {
			at = append(at, l.Channel)
		}
		at = append(at, total)
		for run := 1; run <= n; run++ {
			lo, hi := math.MaxInt, 0
			for i := 0; i+run < len(at); i++ {
				lo, hi = min(lo, at[i+run]-at[i]), max(hi, at[i+run]-at[i])
			}
			if hi-lo > 1 {
				t.Fatalf("%d spacings in %d channels: runs of %d spacings differ by %d: %v", n, total, run, hi-lo, at)
			}
		}
	})
}

// Renumbered counts from another corner and changes nothing else.
func TestRenumbered(t *testing.T) {
	in := []paths.Stroke{paths.Polyline(pt(0, 1.9), pt(100, 0), pt(100, 99), pt(0, 100), pt(0, 1.9))}
	was := mustSnap(t, in, monks, Options{})
	now := was.Renumbered(2, -3, monks)
	by := pt(-2*monks.Across, 3*monks.Along)
	for i, l := range now.Lines {
		fixed, _ := l.Axis.Split(by)
		if want := was.Lines[i].Channel - 2; l.Axis == weave.Across && l.Channel != want || math.Abs(l.Was-was.Lines[i].Was-fixed) > 1e-9 {
			t.Errorf("line %d: %+v was %+v", i, l, was.Lines[i])
		}
		if d := math.Abs(l.Was + l.Moved - float64(l.Channel)*monks.Pitch(l.Axis)); d > 1e-9 {
			t.Errorf("line %d: was and moved do not add up to the channel, by %g", i, d)
		}
	}
	if d := now.Strokes[0].Start().Sub(was.Strokes[0].Start()).Dist(by); d > 1e-9 {
		t.Errorf("the strokes moved otherwise, by %g", d)
	}
}

// Two strays of nearly one length count as equal motifs, and what makes them equal took an
// end of one out of the room (squares with a border and strays, random designs of seed 3).
func TestEqualMotifsStayInTheRoom(t *testing.T) {
	squares := slices.IndexFunc(kinds, func(k kind) bool { return k.name == "squares" })
	r := rand.New(rand.NewPCG(9, 3))
	s := &sample{}
	kinds[squares].draw(r, s)
	s.stray(r)
	s.lay(r, monks, true)
	out := mustSnap(t, s.strokes, monks, s.opt)
	if by, side := s.opt.Room.rect(monks).Excess(paths.BoundsOf(out.Strokes)); by > 1e-9 {
		t.Errorf("the design reaches %g mm out of the room to the %s", by, side)
	}
}
