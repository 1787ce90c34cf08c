package search

import (
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

var grid = weave.Grid{Across: 2, Along: 2}

// square is a load with points all over 100 by 100 channels that meets another at its lower
// edge. The cloth lies where it should, at 60, 40 mm.
func square() (Load, cloth.Survey) {
	l := Load{At: func(p weave.Place) paths.Point { return paths.Point{X: 60, Y: 40}.Add(grid.At(p)) }}
	for _, v := range []float64{0, 100, 50} {
		for _, u := range []float64{0, 100, 50} {
			l.Points = append(l.Points, Point{"a crossing", weave.Place{Across: u, Along: v}})
		}
	}
	for u := 10.; u < 100; u += 10 {
		l.Meets = append(l.Meets, cloth.Passage{Place: weave.Place{Across: u}, Along: weave.Place{Along: 1}})
	}
	return l, cloth.NewSurveyOf(grid, cloth.FitOptions{Expect: grid.Count(), Extent: weave.Place{Across: 100, Along: 100}, Beyond: true}, nil)
}

// TestPointsOneAfterTheOther finds points where the cloth says that they are expected. Each
// is the first that is not found; the error to expect is said once there is a fit, gets no
// larger over the whole search, and is enough before all points are found or not at all.
func TestPointsOneAfterTheOther(t *testing.T) {
	l, found := square()
	first := -1.
	for n := range l.Points {
		p := l.Progress(found)
		if p.Next != n {
			t.Fatalf("after %d points the next is %d", n, p.Next)
		}
		at, from := l.Expect(found, l.Points[n].Place)
		if want := l.At(l.Points[n].Place); at.Dist(want) > 1e-6 || (from < 0) != (n == 0) {
			t.Fatalf("point %d is expected at %v by %d, and lies at %v", n+1, at, from, want)
		}
		if says := l.Says(p); p.Fits != strings.Contains(says, "at the joints: ") || p.Enough() != strings.HasSuffix(says, "that is enough") {
			t.Errorf("after %d points: %q", n, says)
		}
		if p.Fits && first < 0 {
			first = p.Expected
		}
		var err error
		if found, _, err = found.With(cloth.Mark{Place: l.Points[n].Place, At: at}); err != nil {
			t.Fatal(err)
		}
	}
	p := l.Progress(found)
	if p.Next != -1 || !p.Enough() || !(p.Expected < first) {
		t.Errorf("with all points: %+v; the first fit expected %.3f", p, first)
	}
	reg, err := found.Fit()
	if err != nil || l.Refused(reg) != nil {
		t.Errorf("all points are refused: %v, %v", err, l.Refused(reg))
	}
}

// TestTooFewPointsAreRefused has marks far from the joints only, which cannot make them sure.
func TestTooFewPointsAreRefused(t *testing.T) {
	l, found := square()
	for _, at := range []weave.Place{{Across: 40, Along: 90}, {Across: 60, Along: 90}, {Across: 40, Along: 100}, {Across: 60, Along: 100}} {
		var err error
		if found, _, err = found.With(cloth.Mark{Place: at, At: l.At(at)}); err != nil {
			t.Fatal(err)
		}
	}
	reg, err := found.Fit()
	if err != nil {
		t.Fatal(err)
	}
	if err := l.Refused(reg); err == nil || !strings.Contains(err.Error(), "at the joints, and over 0.3 is refused") {
		t.Errorf("marks at one end: an error of %.2f channels, %v", ErrorAt(reg, l.Meets), err)
	}
	if got := ErrorAt(cloth.Nominal(grid, paths.Point{}), l.Meets); got != 0 {
		t.Errorf("of a cloth without marks an error of %g is told", got)
	}
}
