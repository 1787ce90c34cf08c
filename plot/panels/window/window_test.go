package window

import (
	"math"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// Threads that are added make a load sure far from the points that it has: whole crossings
// within it, none twice, and fewer where there is more to go by.
func TestFill(t *testing.T) {
	g := weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13}
	l := Load{Grid: g, Box: paths.Rect{Min: paths.Point{X: 10, Y: 500}, Max: paths.Point{X: 410, Y: 1200}}}
	for i := range 8 {
		l.Taken = append(l.Taken, weave.Place{Across: 10 + 20*float64(i), Along: 260 + 12*float64(i%3)})
	}
	added := l.Fill(22)
	if len(added) < 5 || len(added) > 14 {
		t.Fatalf("%d threads are added to 8 points", len(added))
	}
	all := append([]weave.Place(nil), l.Taken...)
	for _, p := range added {
		if p.Across != math.Round(p.Across) || p.Along != math.Round(p.Along) || !l.Box.Grow(1).Contains(g.At(p)) {
			t.Errorf("a thread at %v", p)
		}
		for _, q := range all {
			if p == q {
				t.Errorf("%v is listed twice", p)
			}
		}
		all = append(all, p)
	}
	corner := []weave.Place{g.PlaceOf(l.Box.Min), g.PlaceOf(l.Box.Max)}
	plan, err := cloth.NewPlan(g, cloth.Prior{Noise: noise}, corner, all)
	if err != nil {
		t.Fatal(err)
	}
	var few, many []int
	for i := range all {
		if many = append(many, i); i < len(l.Taken) {
			few = append(few, i)
		}
	}
	if a, b := plan.Expect(few).Greatest, plan.Expect(many).Greatest; b > a/3 {
		t.Errorf("at its corners the error is %.2f channels with the threads and %.2f without", b, a)
	}
	if n := len(Load{Grid: g, Box: l.Box, Taken: all}.Fill(len(all))); n != 0 {
		t.Errorf("%d threads more than may be", n)
	}
}

// Of a zigzag across the cloth the corners near the joint are found, within the load.
func TestCorners(t *testing.T) {
	g := weave.Grid{Across: 2, Along: 2}
	var ink []paths.Stroke
	for row := range 4 {
		var pts []paths.Point
		for i := range 12 {
			pts = append(pts, paths.Point{X: 30 * float64(i), Y: 100*float64(row) + 20*float64(i%2)})
		}
		ink = append(ink, paths.Polyline(pts...))
	}
	l := Load{Grid: g, Box: paths.Rect{Min: paths.Point{X: 0, Y: 90}, Max: paths.Point{X: 340, Y: 700}}}
	meets := []weave.Place{{Across: 10, Along: 165}, {Across: 80, Along: 165}, {Across: 160, Along: 165}}
	got := l.Corners(ink, meets, 10)
	if len(got) < 5 || len(got) > 10 {
		t.Fatalf("%d corners", len(got))
	}
	for _, p := range got {
		at := g.At(p)
		if !l.Box.Contains(at) || math.Mod(at.X, 30) != 0 {
			t.Errorf("a corner at %v", at)
		}
	}
	if n := len(l.Corners(ink[:1], meets, 10)); n != 0 {
		t.Errorf("%d corners of ink that lies outside", n)
	}
}
