package models

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// pitch is that of rug monk's cloth, as sellers state it (common practice).
var pitch = weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13}

// Bookstein's five landmarks and their spline, from F. Bookstein, Principal
// Warps, IEEE PAMI 11 (1989) 567-585, as two open implementations quote it; the
// image of (5, 10) was computed from them apart from this code.
func TestBookstein(t *testing.T) {
	from := []paths.Point{{X: 3.6929, Y: 10.3819}, {X: 6.5827, Y: 8.8386}, {X: 6.7756, Y: 12.0866}, {X: 4.8189, Y: 11.2047}, {X: 5.6969, Y: 10.0748}}
	to := []paths.Point{{X: 3.9724, Y: 6.5354}, {X: 6.6969, Y: 4.1181}, {X: 6.5394, Y: 7.2362}, {X: 5.4016, Y: 6.4528}, {X: 5.7756, Y: 5.1142}}
	s, err := newPlate(from, to, 0, affineTerms)
	if err != nil {
		t.Fatal(err)
	}
	near := func(what string, got, want, tol float64) {
		t.Helper()
		if math.Abs(got-want) > tol {
			t.Errorf("%s = %.4f, want %.4f", what, got, want)
		}
	}
	for i, w := range []paths.Point{{X: 1.3550, Y: -2.9460}, {X: 0.8747, Y: -0.2956}, {X: -0.0289, Y: 0.9216}} {
		near("trend", s.trend[i].X, w.X, 1e-4)
		near("trend", s.trend[i].Y, w.Y, 1e-4)
	}
	var energy float64 // the sum of w'Kw over both coordinates
	for i, w := range []paths.Point{{X: -0.0380, Y: 0.0424}, {X: 0.0232, Y: 0.0159}, {X: -0.0248, Y: 0.0288}, {X: 0.0798, Y: -0.0454}, {X: -0.0402, Y: -0.0418}} {
		near("weight", s.weights[i].X, w.X, 1e-4)
		near("weight", s.weights[i].Y, w.Y, 1e-4)
		for j, q := range from {
			d := from[i].Sub(q)
			energy += s.weights[i].Dot(s.weights[j]) * bump(d.Dot(d))
		}
	}
	// The paper prints 0.0430, by a kernel of half this one's size.
	near("bending energy", energy/2, 0.0430, 1e-4)
	p := s.at(paths.Point{X: 5, Y: 10})
	near("image of (5,10)", p.X, 5.203213, 1e-6)
	near("image of (5,10)", p.Y, 5.347881, 1e-6)
	for i := range from {
		if d := s.at(from[i]).Dist(to[i]); d > 1e-9 {
			t.Errorf("landmark %d is missed by %g", i+1, d)
		}
	}
}

// The kite: affine part the identity, weights -+0.0902 in Y; an example that
// goes with an open implementation.
func TestKite(t *testing.T) {
	from := []paths.Point{{Y: 1}, {X: -1}, {Y: -1}, {X: 1}}
	to := []paths.Point{{Y: 0.75}, {X: -1, Y: 0.25}, {Y: -1.25}, {X: 1, Y: 0.25}}
	s, err := newPlate(from, to, 0, affineTerms)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{-0.09016844, 0.09016844, -0.09016844, 0.09016844} {
		if math.Abs(s.weights[i].Y-want) > 1e-8 || math.Abs(s.weights[i].X) > 1e-12 {
			t.Errorf("weight %d = %v, want %g in Y", i+1, s.weights[i], want)
		}
	}
	for _, p := range []paths.Point{{}, {X: 0.5, Y: 0.5}} {
		if d := s.at(p).Dist(p); d > 1e-9 {
			t.Errorf("%v moved by %g", p, d)
		}
	}
}

// A line through (0,0) (1,1) (2,2) (3,4): h = .7 .3 .3 .7, e = .2 -.1 -.4 .3,
// deleted .6667 -.1429 -.5714 1.0; arithmetic by hand.
func TestLeaveOneOutByHand(t *testing.T) {
	x, hat, err := leastSquares(mat.NewDense(4, 2, []float64{1, 0, 1, 1, 1, 2, 1, 3}), mat.NewDense(4, 1, []float64{0, 1, 2, 4}))
	if err != nil {
		t.Fatal(err)
	}
	for i, y := range []float64{0, 1, 2, 4} {
		e := y - x.At(0, 0) - x.At(1, 0)*float64(i)
		wantH := []float64{.7, .3, .3, .7}[i]
		want := []float64{2. / 3, -1. / 7, -4. / 7, 1}[i]
		if math.Abs(hat[i]-wantH) > 1e-12 || math.Abs(e/(1-hat[i])-want) > 1e-12 {
			t.Errorf("point %d: h = %g, deleted %g; want %g, %g", i+1, hat[i], e/(1-hat[i]), wantH, want)
		}
	}
}

// Every model's deleted residuals are what is found by leaving the mark out.
func TestDeletedResiduals(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 20))
	var marks []Pair // of a cloth that is stretched, leans and bows, read to 0.3 mm
	for i := range 12 {
		p := weave.Place{Across: float64(i%4) * 94, Along: float64(i/4) * 230}
		x, y := p.Across*pitch.Across*1.02, p.Along*pitch.Along*0.98
		marks = append(marks, Pair{p, paths.Point{X: x + 0.03*y + 0.3*r.NormFloat64(), Y: y + 2e-4*x*(600-x) + 0.3*r.NormFloat64()}})
	}
	f := newFrame(marks, pitch)
	for _, model := range []string{Similarity, Affine, Bilinear, Biquadratic} {
		all, err := Fit(model, marks, nil, pitch)
		if err != nil {
			t.Fatal(err)
		}
		for i, m := range marks {
			rest := append(append([]Pair(nil), marks[:i]...), marks[i+1:]...)
			part, err := Fit(model, rest, nil, pitch)
			if err != nil {
				t.Fatal(err)
			}
			if want := m.At.Sub(part.At(m.Place)); all.Deleted[i].Dist(want) > 1e-8 {
				t.Errorf("%s: mark %d is off by %v when left out, not %v", model, i+1, want, all.Deleted[i])
			}
		}
	}
	var knots, targets []paths.Point
	for _, m := range marks {
		knots, targets = append(knots, f.local(m.Place)), append(targets, m.At)
	}
	for _, k := range stiffnesses {
		s, err := newPlate(knots, targets, k, affineTerms)
		if err != nil {
			t.Fatal(err)
		}
		for i := range knots {
			without := func(p []paths.Point) []paths.Point { return append(append([]paths.Point(nil), p[:i]...), p[i+1:]...) }
			part, err := newPlate(without(knots), without(targets), k, affineTerms)
			if err != nil {
				t.Fatal(err)
			}
			if want := targets[i].Sub(part.at(knots[i])); s.deleted(i).Dist(want) > 1e-6 {
				t.Errorf("stiffness %g: mark %d is off by %v when left out, not %v", k, i+1, want, s.deleted(i))
			}
		}
	}
}
