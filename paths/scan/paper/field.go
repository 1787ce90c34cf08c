package paper

import "math"

// field is how the lines of a wave lie on the page: the phase at places a cell apart.
type field struct {
	cell   float64
	w, h   int
	phase  []float32
	single bool // there is only line 0
}

// terms are the terms of a polynomial of the third degree in two variables.
func terms(x, y float64) [10]float64 {
	return [10]float64{1, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y}
}

// bend fits a polynomial to the phases, leaving out those that do not go with it, and
// returns it with the share that do.
func (s strips) bend(knots []knot) (c [10]float64, share float64) {
	weight := make([]float64, len(knots))
	for i, k := range knots {
		weight[i] = min(k.trust, 10)
	}
	for round := range 8 {
		var m [10][11]float64
		for i, k := range knots {
			t := terms(s.unit(k.u, k.v))
			for a := range t {
				for b := range t {
					m[a][b] += weight[i] * t[a] * t[b]
				}
				m[a][10] += weight[i] * t[a] * k.phase
			}
		}
		for a := range m {
			m[a][a] += 1e-3
		}
		c = solved(m)
		share = 0
		for i, k := range knots {
			off := math.Abs(k.phase - value(c, terms(s.unit(k.u, k.v))))
			weight[i] = min(k.trust, 10) / (1 + off*off/0.01)
			if off < 0.15 {
				share += 1 / float64(len(knots))
			}
			if round > 2 && off > 0.3 {
				weight[i] = 0
			}
		}
	}
	return c, share
}

// unit scales places to about -1 to 1.
func (s strips) unit(u, v float64) (x, y float64) {
	return 2*(u-s.u0)/(float64(s.n)*s.wide) - 1, 2*(v-s.v0)/float64(s.m) - 1
}

// value returns the mean at place j across of strip i, and whether any was seen.
func (s strips) value(i, j int) (float64, bool) {
	if j < 0 || j >= s.m || s.count[i*s.m+j] == 0 {
		return 0, false
	}
	return float64(s.sum[i*s.m+j]) / float64(s.count[i*s.m+j]), true
}

// solved solves normal equations by elimination; they are positive definite.
func solved(m [10][11]float64) (x [10]float64) {
	for i := range m {
		for j := i + 1; j < 10; j++ {
			f := m[j][i] / m[i][i]
			for k := i; k <= 10; k++ {
				m[j][k] -= f * m[i][k]
			}
		}
	}
	for i := 9; i >= 0; i-- {
		x[i] = m[i][10]
		for j := i + 1; j < 10; j++ {
			x[i] -= m[i][j] * x[j]
		}
		x[i] /= m[i][i]
	}
	return x
}

// newField returns a field of zeros over a page of w x h pixels.
func newField(w, h int) field {
	const cell = 16
	f := field{cell: cell, w: w/cell + 2, h: h/cell + 2}
	f.phase = make([]float32, f.w*f.h)
	return f
}

// fieldOf returns the phase over a page of w x h pixels.
func (s strips) fieldOf(c [10]float64, w, h int) field {
	f := newField(w, h)
	for j := range f.h {
		for i := range f.w {
			u, v := s.of(float64(i)*f.cell, float64(j)*f.cell)
			f.phase[j*f.w+i] = float32(value(c, terms(s.unit(u, v))))
		}
	}
	return f
}
