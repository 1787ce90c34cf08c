package models

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// terms are functions of a place in the frame; a model is a weighted sum of
// them.
type terms func(paths.Point) []float64

func affineTerms(p paths.Point) []float64   { return []float64{1, p.X, p.Y} }
func bilinearTerms(p paths.Point) []float64 { return []float64{1, p.X, p.Y, p.X * p.Y} }
func quadraticTerms(p paths.Point) []float64 {
	return []float64{1, p.X, p.Y, p.X * p.Y, p.X * p.X, p.Y * p.Y}
}
func cubicTerms(p paths.Point) []float64 {
	return append(quadraticTerms(p), p.X*p.X*p.X, p.X*p.X*p.Y, p.X*p.Y*p.Y, p.Y*p.Y*p.Y)
}

// leastSquares returns the least-squares solution of a·x = b, column by column,
// and the diagonal of the hat matrix, the projection onto the columns of a:
// with a = QR its entries are the squares of the rows of Q = A·R⁻¹.
func leastSquares(a, b *mat.Dense) (x *mat.Dense, hat []float64, err error) {
	var qr mat.QR
	qr.Factorize(a)
	if !(qr.Cond() < 1e8) {
		return nil, nil, errSingular
	}
	x = new(mat.Dense)
	if err := qr.SolveTo(x, false, b); err != nil {
		return nil, nil, errSingular
	}
	var r mat.Dense
	qr.RTo(&r)
	n, p := a.Dims()
	hat = make([]float64, n)
	q := make([]float64, p)
	for i := range n {
		for j := range p {
			q[j] = a.At(i, j)
			for k := range j {
				q[j] -= q[k] * r.At(k, j)
			}
			q[j] /= r.At(j, j)
			hat[i] += q[j] * q[j]
		}
	}
	return x, hat, nil
}

// weights returns how much each of n marks counts in least squares beside one that is not
// loose: as the inverse of its noise, where marks are read to 0.2 mm (common practice).
func weights(loose []float64, n int) []float64 {
	const read = 0.2
	out := slices.Repeat([]float64{1}, n)
	for i, by := range loose {
		out[i] = read / math.Hypot(read, by)
	}
	return out
}

// fitTerms fits each machine coordinate as a sum of terms, by least squares.
func fitTerms(model string, marks []Pair, weights []float64, f frame, of terms) (Fitted, error) {
	n, p := len(marks), len(of(paths.Point{}))
	a, b := mat.NewDense(n, p, nil), mat.NewDense(n, 2, nil)
	for i, m := range marks {
		row, w := of(f.local(m.Place)), weights[i]
		for j := range row {
			row[j] *= w
		}
		a.SetRow(i, row)
		d := m.At.Sub(f.to).Mul(w)
		b.SetRow(i, []float64{d.X, d.Y})
	}
	x, hat, err := leastSquares(a, b)
	if err != nil {
		return Fitted{}, err
	}
	out := Fitted{Model: model, Spare: n > p}
	out.At = func(place weave.Place) paths.Point {
		q := f.to
		for j, t := range of(f.local(place)) {
			q.X += t * x.At(j, 0)
			q.Y += t * x.At(j, 1)
		}
		return q
	}
	out.measure(marks, func(i int) float64 { return hat[i] })
	return out, nil
}

// measure sets the residuals. For a fit that is linear in its marks the deleted
// residual is the residual over 1-h, h the mark's own entry of the hat matrix
// (Allen, Technometrics 16 (1974) 125-127).
func (f *Fitted) measure(marks []Pair, h func(int) float64) {
	for i, m := range marks {
		e := m.At.Sub(f.At(m.Place))
		f.Residual = append(f.Residual, e)
		if 1-h(i) < 1e-9 { // this mark alone determines a number of the fit
			f.Spare = false
		}
		if f.Spare {
			f.Deleted = append(f.Deleted, e.Mul(1/(1-h(i))))
		}
	}
}

// fitSimilarity fits a turn, a scale and a move: both coordinates share their
// numbers, so a mark is two rows, deleted together.
func fitSimilarity(marks []Pair, weights []float64, f frame) (Fitted, error) {
	n := len(marks)
	a, b := mat.NewDense(2*n, 4, nil), mat.NewDense(2*n, 1, nil)
	for i, m := range marks {
		w := weights[i]
		p, d := f.local(m.Place).Mul(w), m.At.Sub(f.to).Mul(w)
		a.SetRow(2*i, []float64{p.X, -p.Y, w, 0})
		a.SetRow(2*i+1, []float64{p.Y, p.X, 0, w})
		b.Set(2*i, 0, d.X)
		b.Set(2*i+1, 0, d.Y)
	}
	x, hat, err := leastSquares(a, b)
	if err != nil {
		return Fitted{}, err
	}
	m := paths.Affine{A: x.At(0, 0), B: x.At(1, 0), C: -x.At(1, 0), D: x.At(0, 0), E: x.At(2, 0), F: x.At(3, 0)}
	out := Fitted{Model: Similarity, Spare: n > 2}
	out.At = func(p weave.Place) paths.Point { return f.to.Add(m.Apply(f.local(p))) }
	// By symmetry a mark's block of the hat matrix is a multiple of the unit.
	out.measure(marks, func(i int) float64 { return hat[2*i] })
	return out, nil
}
