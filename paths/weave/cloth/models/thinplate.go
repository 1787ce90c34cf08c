package models

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// plate is a thin-plate spline: a trend and a sum of bumps, one to a knot
// (Bookstein, IEEE PAMI 11 (1989) 567-585). His trend is affine; a quadratic
// one takes up the bow before any bump has to.
type plate struct {
	terms   terms
	trend   []paths.Point
	knots   []paths.Point
	weights []paths.Point // of the bumps
	own     []float64     // by knot, how much its weight changes with its own target
}

// bump is r²·log r², the spline's kernel.
func bump(r2 float64) float64 {
	if r2 == 0 {
		return 0
	}
	return r2 * math.Log(r2)
}

// newPlate returns the spline that takes knots to targets. A stiffness over 0
// trades closeness for smoothness: 0 passes through every target, a large one
// leaves the affine map of least squares (Wahba, Spline Models for Observational
// Data, SIAM 1990, chapter 2).
func newPlate(knots, targets []paths.Point, stiffness float64, trend terms) (*plate, error) {
	n, p := len(knots), len(trend(paths.Point{}))
	m := mat.NewDense(n+p, n+p, nil)
	for i, at := range knots {
		for j, q := range knots {
			d := at.Sub(q)
			m.Set(i, j, bump(d.Dot(d)))
		}
		m.Set(i, i, stiffness)
		for j, v := range trend(at) {
			m.Set(i, n+j, v)
			m.Set(n+j, i, v)
		}
	}
	var lu mat.LU
	lu.Factorize(m)
	if !(lu.Cond() < 1e12) {
		return nil, errSingular
	}
	rhs := mat.NewDense(n+p, n, nil)
	for i := range n {
		rhs.Set(i, i, 1)
	}
	var solve mat.Dense // from targets to weights and trend
	if err := lu.SolveTo(&solve, false, rhs); err != nil {
		return nil, errSingular
	}
	s := &plate{terms: trend, knots: knots}
	sum := func(row int) (p paths.Point) {
		for j, t := range targets {
			p = p.Add(t.Mul(solve.At(row, j)))
		}
		return p
	}
	for i := range n {
		s.weights = append(s.weights, sum(i))
	}
	for j := range p {
		s.trend = append(s.trend, sum(n+j))
	}
	for i := range n {
		s.own = append(s.own, solve.At(i, i))
	}
	return s, nil
}

// deleted returns how far target i lies from the spline made without it. It is
// the residual, stiffness times the weight, over 1-h, where 1-h is stiffness
// times own: so it holds for a spline through every target as well.
func (s *plate) deleted(i int) paths.Point { return s.weights[i].Mul(1 / s.own[i]) }

func (s *plate) at(p paths.Point) paths.Point {
	var q paths.Point
	for j, t := range s.terms(p) {
		q = q.Add(s.trend[j].Mul(t))
	}
	for i, k := range s.knots {
		d := p.Sub(k)
		q = q.Add(s.weights[i].Mul(bump(d.Dot(d))))
	}
	return q
}

// mostPlateMarks bounds the work of a spline, which grows with the cube of the
// marks.
const mostPlateMarks = 150

// stiffnesses are tried for the least leave-one-out error. The marks lie within
// 1 of the origin, so they mean the same for every cloth.
var stiffnesses = []float64{0, 1e-4, 1e-3, 1e-2, 1e-1, 1, 10}

// fitThinPlate fits a thin-plate spline of the best stiffness.
func fitThinPlate(marks []Pair, f frame) (Fitted, error) {
	if len(marks) > mostPlateMarks {
		return Fitted{}, errSingular
	}
	knots, targets := make([]paths.Point, len(marks)), make([]paths.Point, len(marks))
	for i, m := range marks {
		knots[i], targets[i] = f.local(m.Place), m.At.Sub(f.to)
	}
	var best Fitted
	for _, trend := range []terms{affineTerms, quadraticTerms} {
		if len(marks) < len(trend(paths.Point{}))+4 {
			break
		}
		for _, k := range stiffnesses {
			s, err := newPlate(knots, targets, k, trend)
			if err != nil {
				continue
			}
			out := Fitted{Model: ThinPlate, Spare: true}
			out.At = func(p weave.Place) paths.Point { return f.to.Add(s.at(f.local(p))) }
			for i, m := range marks {
				out.Residual = append(out.Residual, m.At.Sub(out.At(m.Place)))
				out.Deleted = append(out.Deleted, s.deleted(i))
			}
			if best.At == nil || out.LeaveOneOut() < best.LeaveOneOut() {
				best = out
			}
		}
	}
	if best.At == nil {
		return Fitted{}, errSingular
	}
	return best, nil
}
