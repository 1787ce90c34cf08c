package cloth

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// pulled is a cloth whose lie is known: its count is not the nominal one, it
// leans, and it is turned a little.
func pulled(p weave.Place) paths.Point {
	return paths.Point{X: 60 + 2.08*p.Across + 0.05*p.Along, Y: 50 - 0.03*p.Across + 1.99*p.Along}
}

func rug(t testing.TB) Survey {
	t.Helper()
	g, err := weave.NewGrid(paths.Count{Across: 12 / paths.MMPerInch, Along: 13 / paths.MMPerInch})
	if err != nil {
		t.Fatal(err)
	}
	return NewSurvey(g, "", place(96, 104), nil)
}

func found(t testing.TB, s Survey, at func(weave.Place) paths.Point, places ...weave.Place) Survey {
	t.Helper()
	for _, p := range places {
		var err error
		if s, _, err = s.With(Mark{p, at(p)}); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// What is expected gets better with every mark: by the count from one mark,
// turned with two, exact for an affine cloth with three.
func TestExpect(t *testing.T) {
	far := place(96, 104)
	for _, c := range []struct {
		marks  []weave.Place
		from   int
		within float64 // mm
	}{
		// (2.08-25.4/12)·96 + 0.05·104 across, -0.03·96 + (1.99-25.4/13)·104 along
		{[]weave.Place{place(0, 0)}, 1, math.Hypot(1.68, 0.88) + 1e-9},
		{[]weave.Place{place(0, 0), place(96, 0)}, 0, 8}, // the lean is not known yet
		{[]weave.Place{place(0, 0), place(96, 0), far, place(0, 104)}, 0, 1e-6},
		{[]weave.Place{place(0, 0), place(96, 0), place(0, 104)}, 0, 1e-6},
		{[]weave.Place{place(0, 0), place(48, 0), place(96, 0)}, 3, 10}, // on one line: no fit
	} {
		s := found(t, rug(t), pulled, c.marks...)
		at, from, ok := s.Expect(far)
		if off := at.Dist(pulled(far)); !ok || from != c.from || off > c.within {
			t.Errorf("by marks at %v: %.2f mm off, from %d, %v; want %g mm from %d", c.marks, off, from, ok, c.within, c.from)
		}
	}
	if _, _, ok := rug(t).Expect(far); ok {
		t.Error("something is expected without a mark")
	}
	if _, ok := rug(t).PlaceAt(paths.Point{}); ok {
		t.Error("a place is known without a mark")
	}
}

// PlaceAt is the inverse of Expect, on bowed cloth too.
func TestPlaceAt(t *testing.T) {
	bowed := func(p weave.Place) paths.Point {
		q := pulled(p)
		q.Y += 6 * math.Sin(math.Pi*p.Across/96)
		return q
	}
	var grid []weave.Place
	for i := range 4 {
		for j := range 4 {
			grid = append(grid, place(float64(32*i), math.Round(104*float64(j)/3)))
		}
	}
	s := found(t, rug(t), bowed, grid...)
	one := found(t, rug(t), pulled, place(96, 0))
	rapid.Check(t, func(t *rapid.T) {
		p := place(rapid.Float64Range(-10, 106).Draw(t, "across"), rapid.Float64Range(-10, 114).Draw(t, "along"))
		for _, s := range []Survey{s, one} {
			at, _, _ := s.Expect(p)
			back, ok := s.PlaceAt(at)
			if d := math.Hypot(back.Across-p.Across, back.Along-p.Along); !ok || d > 1e-5 {
				t.Errorf("%v lies at %v, where %v is expected, %v", p, at, back, ok)
			}
		}
	})
}

// Next goes round the corners, then to the middle of an edge, which shows a bow,
// and ends when the error to expect is small. Each mark brings it down, or nearly.
func TestNext(t *testing.T) {
	s := rug(t)
	var got []weave.Place
	last := math.Inf(1)
	for {
		p, ok := s.Next()
		if !ok {
			break
		}
		got = append(got, p)
		s = found(t, s, pulled, p)
		if len(got) > 25 {
			t.Fatalf("it has no end: %v", got)
		}
		if r, err := s.Fit(); err == nil && len(got) > 4 {
			if e := r.Report().ExpectedError; e > 1.1*last {
				t.Errorf("after mark %d the error to expect is %.2f, and was %.2f", len(got), e, last)
			}
			last = r.Report().ExpectedError
		}
	}
	t.Logf("%v: %.3f channels", got, last)
	if want := []weave.Place{place(0, 0), place(96, 0), place(96, 104), place(0, 104)}; len(got) < 5 || !slices.Equal(got[:4], want) {
		t.Fatalf("%v, want %v first", got, want)
	}
	if p := got[4]; p.Across != 48 && p.Along != 52 {
		t.Errorf("after the corners comes %v, which shows no bow", p)
	}
	if last > EnoughError {
		t.Errorf("it ends at %.2f channels", last)
	}
	if _, ok := NewSurvey(s.Grid(), "", weave.Place{}, s.Marks()).Next(); ok {
		t.Error("a place is wanted on a rug of no known size")
	}
}

func TestMarksTakenAgain(t *testing.T) {
	s := found(t, rug(t), pulled, place(0, 0), place(96, 0), place(96, 104))
	before := s
	s, n, err := s.With(Mark{place(96, 0.2), paths.Point{X: 1, Y: 2}})
	if err != nil || n != 2 || len(s.Marks()) != 3 || s.Marks()[1].At != (paths.Point{X: 1, Y: 2}) {
		t.Errorf("taken again: mark %d of %v, %v", n, s.Marks(), err)
	}
	if before.Marks()[1].At != pulled(place(96, 0)) {
		t.Error("the survey it came from was changed")
	}
	if s, err = s.Without(2); err != nil || len(s.Marks()) != 2 || s.Marks()[1].Place != (place(96, 104)) {
		t.Errorf("without mark 2: %v, %v", s.Marks(), err)
	}
	var f *fault.Error
	for _, n := range []int{0, -1, 3} {
		if _, err := s.Without(n); !errors.As(err, &f) {
			t.Errorf("without mark %d: %v", n, err)
		}
	}
	for _, m := range []Mark{{Place: weave.Place{Across: math.NaN()}}, {Place: weave.Place{Along: 1e9}}, {At: paths.Point{X: math.Inf(1)}}} {
		if _, _, err := s.With(m); !errors.As(err, &f) {
			t.Errorf("%v is taken: %v", m, err)
		}
	}
}
