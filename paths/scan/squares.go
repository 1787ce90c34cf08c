package scan

import (
	"math"

	"weftplot/paths"
)

// straightThrough returns the line nearest to points by least squares of the
// distances, as a place on it and a unit direction, and how far off the
// farthest point is. It needs at least two points that differ.
func straightThrough(pts []paths.Point) (c, d paths.Point, off float64) {
	for _, p := range pts {
		c = c.Add(p)
	}
	c = c.Mul(1 / float64(len(pts)))
	var xx, xy, yy float64
	for _, p := range pts {
		q := p.Sub(c)
		xx, xy, yy = xx+q.X*q.X, xy+q.X*q.Y, yy+q.Y*q.Y
	}
	sin, cos := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	d = along(pts[len(pts)-1].Sub(pts[0]), paths.Point{X: cos, Y: sin})
	for _, p := range pts {
		off = max(off, math.Abs(d.Cross(p.Sub(c))))
	}
	return c, d, off
}

// parabola returns the ray that leaves the points at the first of them, along
// the parabola nearest to them by least squares, and the standard deviation of
// the points from it. It needs at least three points.
func parabola(pts []paths.Point) (r ray, off float64) {
	o := pts[0]
	u := o.Sub(pts[len(pts)-1]).Unit()
	n := u.Left()
	// y = a + b·x + c·x² in the frame of the chord, x back from the first point.
	eq := newEquations(3)
	for _, p := range pts {
		q := p.Sub(o)
		x := q.Dot(u)
		eq.add([]float64{1, x, x * x}, q.Dot(n), 1)
	}
	s, ok := eq.solve()
	if !ok || math.Abs(s[0]) > o.Dist(pts[len(pts)-1]) {
		return ray{at: o, dir: u}, 0 // points too few or too close to determine a parabola
	}
	for _, p := range pts {
		q := p.Sub(o)
		x := q.Dot(u)
		d := q.Dot(n) - s[0] - s[1]*x - s[2]*x*x
		off += d * d / float64(len(pts))
	}
	bend := 2 * s[2] / math.Pow(1+s[1]*s[1], 1.5)
	return ray{o.Add(n.Mul(s[0])), u.Add(n.Mul(s[1])).Unit(), bend}, math.Sqrt(off)
}

// equations are the normal equations of a least squares problem with few
// unknowns.
type equations struct{ m [][]float64 }

func newEquations(unknowns int) equations {
	e := equations{make([][]float64, unknowns)}
	for i := range e.m {
		e.m[i] = make([]float64, unknowns+1)
	}
	return e
}

// add adds the equation row · unknowns = y, with a weight.
func (e equations) add(row []float64, y, weight float64) {
	for i, a := range row {
		for j, b := range row {
			e.m[i][j] += weight * a * b
		}
		e.m[i][len(row)] += weight * a * y
	}
}

// solve returns the unknowns, by elimination with the greatest pivot; ok is
// false where they are not determined.
func (e equations) solve() (x []float64, ok bool) {
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
