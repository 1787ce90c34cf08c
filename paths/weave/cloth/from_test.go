package cloth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
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

// What a person reads of a part of a rug is counted from the rug's corner, on crossings of
// channels, and within what the part draws, wherever the part itself begins.
func TestPlacesAreToldAsTheyAreCounted(t *testing.T) {
	from := place(-57.96, 700.78) // a load reaches beyond the rug's edge
	var marks []Mark
	for _, p := range []weave.Place{{Across: 10, Along: 710}, {Across: 90, Along: 715}, {Across: 12, Along: 790}, {Across: 50, Along: 702}, {Across: 85, Along: 780}} {
		marks = append(marks, Mark{p, pulled(p)})
	}
	opt := FitOptions{Extent: place(290, 400), From: from, Beyond: true, Over: []weave.Place{place(0, 701), place(94, 701), place(0, 1000), place(94, 1000)}}
	r, err := Fit(marks, opt)
	if err != nil {
		t.Fatal(err)
	}
	better := r.Report().Better.Place
	if better.Across != math.Round(better.Across) || better.Along != math.Round(better.Along) || better.Across < -1 || better.Across > 95 || better.Along < 700 || better.Along > 1001 {
		t.Errorf("the next mark is to be at %v", better)
	}
	want := fmt.Sprintf("somewhere on this part of the rug: 95 of 100 cloths like this stay within that; a mark at channel %g across, %g along would", better.Across, better.Along)
	if !slices.ContainsFunc(r.Report().Warnings, func(w weave.Warning) bool { return strings.Contains(w.Message, want) }) {
		t.Errorf("no warning tells of %q: %v", want, r.Report().Warnings)
	}
}

// Loose marks tell less of the map: what they mark lies 0.6 mm aside, and the map beside them
// is nearly as good as without them. Where there are no others, more error is told.
func TestLooseMarks(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 18))
	var marks, others []Mark
	var loose []Loose
	for _, v := range []float64{0, 52, 104, 156} {
		for _, u := range []float64{0, 32, 64, 96} {
			p := place(u, v)
			at := pulled(p).Add(paths.Point{X: r.NormFloat64(), Y: r.NormFloat64()}.Mul(0.2))
			if u == 0 {
				at.X += 0.6 // threads at this edge lie beside the ink
				loose = append(loose, Loose{p, 0.6})
			} else {
				others = append(others, Mark{p, at})
			}
			marks = append(marks, Mark{p, at})
		}
	}
	opt := FitOptions{Extent: place(96, 156), Beyond: true}
	fitAt := func(marks []Mark, opt FitOptions, at weave.Place) (off, told float64) {
		reg, err := Fit(marks, opt)
		if err != nil {
			t.Fatal(err)
		}
		x, _ := reg.Expect([]weave.Place{at})
		return reg.Point(at).Dist(pulled(at)), x.Greatest
	}
	alike, _ := fitAt(marks, opt, place(32, 78))
	without, _ := fitAt(others, opt, place(32, 78))
	opt.Loose = loose
	off, told := fitAt(marks, opt, place(32, 78))
	if off > alike || off > without+0.2 {
		t.Errorf("beside loose marks the map is %.2f mm off, with all alike %.2f, without them %.2f", off, alike, without)
	}
	_, edge := fitAt(marks, opt, place(0, 78))
	if edge < told {
		t.Errorf("%.2f channels are told at loose marks, %.2f at others", edge, told)
	}
	// Elsewhere counted, they are the same marks.
	from := place(40, 700)
	moved := FitOptions{Extent: opt.Extent, Beyond: true, From: from}
	var far []Mark
	for _, m := range marks {
		far = append(far, Mark{place(m.Place.Across+from.Across, m.Place.Along+from.Along), m.At})
	}
	for _, l := range loose {
		moved.Loose = append(moved.Loose, Loose{place(l.Place.Across+from.Across, l.Place.Along+from.Along), l.By})
	}
	a, errA := Fit(marks, opt)
	b, errB := Fit(far, moved)
	if errA != nil || errB != nil || a.Point(place(10, 20)).Dist(b.Point(place(50, 720))) > 1e-9 {
		t.Errorf("counted from another corner loose marks tell another map: %v, %v", errA, errB)
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
// however many marks there are: with six, all but one that is five channels off, of which
// it is said that it may be.
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
			reg, err := s.Fit()
			if i < 5 || fault.Request(err) != nil {
				continue
			}
			if text, ok := warning(reg, "mark-doubted"); i > 5 || !ok || !strings.HasPrefix(text, "mark 1 ") || at != (paths.Point{X: 300, Y: 440}) {
				t.Errorf("a mark at %v among %d is taken: %v, %q", at, i+1, err, text)
			}
		}
	}
}
