package finding_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
	"weftplot/paths/weave/lying"
	"weftplot/plot/finding"
)

// upper is the upper load of a rug of 400 by 1100 mm, which meets the lower one in five
// lines. The ink is crossings near them.
func upper() (finding.Load, []weave.Place) {
	g := weave.Grid{Across: 2.1, Along: 2}
	l := finding.Load{Grid: g, Box: paths.Rect{Min: paths.Point{Y: 500}, Max: paths.Point{X: 400, Y: 1100}}, Bow: 0.02}
	var ink []weave.Place
	for i := range 5 {
		u := 10 + 42*float64(i)
		l.Meets = append(l.Meets, cloth.Passage{Place: weave.Place{Across: u, Along: 275}, Along: weave.Place{Along: 1}})
		for k := range 4 {
			ink = append(ink, weave.Place{Across: u, Along: 255 + 8*float64(k)})
		}
	}
	return l, ink
}

func options(l finding.Load) cloth.FitOptions {
	lo, hi := l.Grid.PlaceOf(l.Box.Min), l.Grid.PlaceOf(l.Box.Max)
	return cloth.FitOptions{Expect: l.Grid.Count(), From: lo, Extent: weave.Place{Across: hi.Across - lo.Across, Along: hi.Along - lo.Along}, Beyond: true}
}

// Points are ink and whole threads within the load, none twice.
func TestChoose(t *testing.T) {
	l, ink := upper()
	got, err := l.Choose(ink, 22)
	if err != nil {
		t.Fatal(err)
	}
	inkPoints := 0
	for i, p := range got.List {
		at := l.Grid.At(p.Place)
		switch {
		case p.Ink >= 0 && p.Place != ink[p.Ink]:
			t.Errorf("point %d is at %v, and its ink at %v", i, p.Place, ink[p.Ink])
		case p.Ink < 0 && (p.Place.Across != math.Round(p.Place.Across) || p.Place.Along != math.Round(p.Place.Along) || !l.Box.Grow(0.001).Contains(at)):
			t.Errorf("a thread at %v", p.Place)
		case p.Ink >= 0:
			inkPoints++
		}
		for _, q := range got.List[:i] {
			if search.Same(p.Place, q.Place) {
				t.Errorf("%v is listed twice", p.Place)
			}
		}
	}
	if inkPoints < 4 || inkPoints > 12 || len(got.List) < 10 || len(got.List) > 22 {
		t.Errorf("%d points, %d of them ink", len(got.List), inkPoints)
	}
	if got.AtJoints > 0.2 || got.AtJoints <= 0 {
		t.Errorf("an error of %.2f channels is to be expected at the joints", got.AtJoints)
	}
	if few, err := l.Choose(ink, 6); err != nil || len(few.List) != 6 {
		t.Errorf("%d points of at most 6, %v", len(few.List), err)
	}
	l.Box = paths.Rect{}
	if none, err := l.Choose(nil, 22); err != nil || len(none.List) > 0 {
		t.Errorf("%d points of a load of no size, %v", len(none.List), err)
	}
}

// With the points in their order a person stops when the error to expect is small enough.
// On random cloths that is about twelve, fewer where the cloth is calm, and the joints are
// within the bounds then. As many at random do worse.
func TestPointsInTheirOrder(t *testing.T) {
	l, ink := upper()
	points, err := l.Choose(ink, 22)
	if err != nil {
		t.Fatal(err)
	}
	load := search.Load{Meets: l.Meets, Over: l.Over()}
	for _, p := range points.List {
		load.Points = append(load.Points, search.Point{Place: p.Place})
	}
	const cloths = 3
	count := map[float64]int{}
	chosen, random := 0., 0.
	for _, bow := range []float64{0.002, 0.02} {
		for seed := range uint64(cloths) {
			r := rand.New(rand.NewPCG(seed, 7))
			lies := lying.Random(r, l.Grid, l.Box, paths.Point{X: 300, Y: 400}, lying.Slack{Shift: 30, Turn: 3, Lean: bow, Bow: bow, Count: bow / 2})
			var marks []cloth.Mark
			n := 0
			for _, p := range points.List {
				marks = append(marks, cloth.Mark{Place: p.Place, At: lying.Read(r, lies.Point(p.Place), 0.2)})
				n = len(marks)
				if n >= 8 && load.Progress(cloth.NewSurveyOf(l.Grid, options(l), marks)).Enough() {
					break
				}
			}
			count[bow] += n
			chosen += worstAside(t, l, lies, marks)
			any, others := anywhere(l, ink), []cloth.Mark(nil)
			for _, i := range r.Perm(len(any))[:n] {
				others = append(others, cloth.Mark{Place: any[i], At: lying.Read(r, lies.Point(any[i]), 0.2)})
			}
			random += worstAside(t, l, lies, others)
		}
	}
	calm, bowed := float64(count[0.002])/cloths, float64(count[0.02])/cloths
	t.Logf("points: %.1f on calm cloth, %.1f on bowed; the worst joint in the mean %.3f, of random points %.3f", calm, bowed, chosen/2/cloths, random/2/cloths)
	if calm > bowed || calm < 8 || calm > 12 || bowed > 16 {
		t.Errorf("%.1f points are found on calm cloth and %.1f on bowed", calm, bowed)
	}
	if chosen > random || chosen/2/cloths > 0.15 {
		t.Errorf("the worst joint is %.3f channels off in the mean, and with random points %.3f", chosen/2/cloths, random/2/cloths)
	}
}

// anywhere lists the ink, and threads all over a load.
func anywhere(l finding.Load, ink []weave.Place) []weave.Place {
	out := slices.Clone(ink)
	for _, p := range l.Over() {
		p = weave.Place{Across: math.Round(p.Across), Along: math.Round(p.Along)}
		if !slices.ContainsFunc(out, func(q weave.Place) bool { return search.Same(p, q) }) {
			out = append(out, p)
		}
	}
	return out
}

// worstAside returns how far off a map is across the lines at the joints, at the worst, in
// channels.
func worstAside(t *testing.T, l finding.Load, lies lying.Cloth, marks []cloth.Mark) float64 {
	t.Helper()
	fit, err := cloth.Fit(marks, options(l))
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.
	for _, m := range l.Meets {
		d := l.Grid.PlaceOf(fit.Point(m.Place).Sub(lies.Point(m.Place)))
		along := paths.Point{X: m.Along.Across, Y: m.Along.Along}.Unit()
		worst = max(worst, math.Abs(along.Cross(paths.Point{X: d.Across, Y: d.Along})))
	}
	return worst
}

// Of a zigzag across the cloth the corners near the joint are found, within the load.
func TestCorners(t *testing.T) {
	var ink []paths.Stroke
	for row := range 4 {
		var pts []paths.Point
		for i := range 12 {
			pts = append(pts, paths.Point{X: 30 * float64(i), Y: 100*float64(row) + 20*float64(i%2)})
		}
		ink = append(ink, paths.Polyline(pts...))
	}
	l := finding.Load{Grid: weave.Grid{Across: 2, Along: 2}, Box: paths.Rect{Min: paths.Point{X: 0, Y: 90}, Max: paths.Point{X: 340, Y: 700}}}
	for _, u := range []float64{10, 80, 160} {
		l.Meets = append(l.Meets, cloth.Passage{Place: weave.Place{Across: u, Along: 165}, Along: weave.Place{Along: 1}})
	}
	got := l.Corners(ink, nil)
	if len(got) < 20 {
		t.Fatalf("%d corners", len(got))
	}
	var at []weave.Place
	for _, c := range got {
		p := l.Grid.At(c.Place)
		if !l.Box.Contains(p) || math.Mod(p.X, 30) != 0 || c.End != (p.X == 0 || p.X == 330) {
			t.Errorf("a corner at %v, an end: %v", p, c.End)
		}
		at = append(at, c.Place)
	}
	if n := len(l.Corners(ink[:1], nil)); n != 0 {
		t.Errorf("%d corners of ink that lies outside", n)
	}
	if n := len(l.Corners(ink, at)); n != 0 {
		t.Errorf("%d corners that are found already", n)
	}
}
