package fit

import "math"

// Equations are the normal equations of a least squares problem with few
// unknowns.
type Equations struct{ m [][]float64 }

func NewEquations(unknowns int) Equations {
	e := Equations{make([][]float64, unknowns)}
	for i := range e.m {
		e.m[i] = make([]float64, unknowns+1)
	}
	return e
}

// Add adds the equation row · unknowns = y, with a weight.
func (e Equations) Add(row []float64, y, weight float64) {
	for i, a := range row {
		for j, b := range row {
			e.m[i][j] += weight * a * b
		}
		e.m[i][len(row)] += weight * a * y
	}
}

// Solve returns the unknowns, by elimination with the greatest pivot; ok is
// false where they are not determined.
func (e Equations) Solve() (x []float64, ok bool) {
	m, n := e.m, len(e.m)
	for i := range n {
		p := i
		for j := i + 1; j < n; j++ {
			if math.Abs(m[j][i]) > math.Abs(m[p][i]) {
				p = j
			}
		}
		m[i], m[p] = m[p], m[i]
		if math.Abs(m[i][i]) < 1e-9 {
			return nil, false
		}
		for j := i + 1; j < n; j++ {
			f := m[j][i] / m[i][i]
			for k := i; k <= n; k++ {
				m[j][k] -= f * m[i][k]
			}
		}
	}
	x = make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		x[i] = m[i][n]
		for j := i + 1; j < n; j++ {
			x[i] -= m[i][j] * x[j]
		}
		x[i] /= m[i][i]
	}
	return x, true
}
