package cloth

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// A part of a rug that lies far from the rug's corner is fitted as it would be if the
// counting began at its own corner.
func TestFitFromAnotherCorner(t *testing.T) {
	from := place(40, 700)
	bowed := func(p weave.Place) paths.Point {
		u, v := p.Across-from.Across, p.Along-from.Along
		return paths.Point{X: 60 + 2.08*u + 0.05*v, Y: 50 - 0.03*u + 1.99*v + 0.002*u*(96-u)}
	}
	var near, far []Mark
	for _, v := range []float64{0, 52, 104} {
		for _, u := range []float64{0, 32, 64, 96} {
			p := place(from.Across+u, from.Along+v)
			far = append(far, Mark{p, bowed(p)})
			near = append(near, Mark{place(u, v), bowed(p)})
		}
	}
	opt := FitOptions{Expect: paths.Count{Across: 12 / paths.MMPerInch, Along: 13 / paths.MMPerInch}, Extent: place(96, 130)}
	a, err := Fit(near, opt)
	if err != nil {
		t.Fatal(err)
	}
	opt.From = from
	b, err := Fit(far, opt)
	if err != nil {
		t.Fatal(err)
	}
	p, q := place(10, 128), place(50, 828)
	if d := a.Point(p).Dist(b.Point(q)); d > 1e-9 {
		t.Errorf("the two maps are %g mm apart", d)
	}
	x, _ := a.Expect([]weave.Place{p})
	y, _ := b.Expect([]weave.Place{q})
	if x != y {
		t.Errorf("errors to expect: %+v and %+v", x, y)
	}
	if m := b.Report().Marks[5]; m.Place != far[5].Place {
		t.Errorf("mark 6 is told at %v, and was given at %v", m.Place, far[5].Place)
	}
}

// A rug that reaches far beyond its marks is refused, unless that is meant.
func TestBeyondTheMarks(t *testing.T) {
	var marks []Mark
	for _, v := range []float64{0, 10, 20} {
		for _, u := range []float64{0, 50, 100} {
			marks = append(marks, Mark{place(u, v), pulled(place(u, v))})
		}
	}
	opt := FitOptions{Extent: place(100, 300)}
	if _, err := Fit(marks, opt); err == nil {
		t.Error("a rug 15 times as long as its marks is fitted")
	}
	opt.Beyond = true
	r, err := Fit(marks, opt)
	if err != nil {
		t.Fatal(err)
	}
	near, _ := r.Expect([]weave.Place{place(50, 10)})
	far, _ := r.Expect([]weave.Place{place(50, 300)})
	across, _ := r.ExpectAside([]Passage{{place(50, 10), place(1, 0)}})
	along, _ := r.ExpectAside([]Passage{{place(50, 10), place(0, 2)}})
	if most := max(across.Greatest, along.Greatest); most > near.Greatest || most < near.Greatest/2 {
		t.Errorf("aside of lines each way %.3f and %.3f channels, at the place %.3f", across.Greatest, along.Greatest, near.Greatest)
	}
	if near.Greatest > 0.3 || far.Greatest < 1 {
		t.Errorf("errors to expect: %.2f channels among the marks, %.2f far beyond", near.Greatest, far.Greatest)
	}
}

// Marks of a load that lies elsewhere on the cloth are proposed as those of the same load at
// the corner are, one after the other until they are enough.
func TestProposedFromAnotherCorner(t *testing.T) {
	from := place(40, 700)
	grid, err := weave.NewGrid(paths.Count{Across: 12 / paths.MMPerInch, Along: 13 / paths.MMPerInch})
	if err != nil {
		t.Fatal(err)
	}
	opt := FitOptions{Expect: grid.Count(), Extent: place(96, 130)}
	near := NewSurveyOf(grid, opt, nil)
	opt.From = from
	far := NewSurveyOf(grid, opt, nil)
	for n := range 20 {
		p, more := near.Next()
		q, moreFar := far.Next()
		if more != moreFar || more && q != place(p.Across+from.Across, p.Along+from.Along) {
			t.Fatalf("mark %d is proposed at %v, %t, and on the load elsewhere at %v, %t", n+1, p, more, q, moreFar)
		}
		if !more {
			if n < 4 {
				t.Fatalf("only %d marks are proposed", n)
			}
			return
		}
		for s, m := range map[*Survey]Mark{&near: {p, pulled(p)}, &far: {q, pulled(p)}} {
			if *s, _, err = s.With(m); err != nil {
				t.Fatal(err)
			}
		}
	}
	t.Error("twenty marks are not enough")
}

// A mark that was taken with the pen somewhere else is refused, however far off it is, and
// however many marks there are.
func TestMarkFarOff(t *testing.T) {
	grid, err := weave.NewGrid(paths.Count{Across: 12 / paths.MMPerInch, Along: 13 / paths.MMPerInch})
	if err != nil {
		t.Fatal(err)
	}
	opt := FitOptions{Expect: grid.Count(), Extent: place(226, 394), From: place(150, -95), Beyond: true}
	places := []weave.Place{place(263, 102), place(150, 102), place(376, 34), place(338, 170), place(188, 0), place(188, 204), place(376, 136)}
	for _, at := range []paths.Point{{X: 0.01}, {X: 2000, Y: 2000}, {X: 9e3, Y: -9e3}, {X: 300, Y: 0}, {X: 300, Y: 440}} {
		s := NewSurveyOf(grid, opt, nil)
		for i, p := range places {
			m := Mark{p, paths.Point{X: -256.774, Y: 250.71}.Add(grid.At(p))}
			if i == 0 {
				m.At = at
			}
			if s, _, err = s.With(m); err != nil {
				t.Fatal(err)
			}
			if _, err := s.Fit(); i >= 5 && fault.Request(err) == nil {
				t.Errorf("a mark at %v among %d is taken: %v", at, i+1, err)
			}
		}
	}
}
