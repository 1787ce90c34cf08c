package raster

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
)

// homography is the map of one plane onto another by a camera: (x, y) goes to
// (h0 x + h1 y + h2, h3 x + h4 y + h5) / (h6 x + h7 y + h8).
type homography [9]float64

func (h homography) apply(p paths.Point) paths.Point {
	w := h[6]*p.X + h[7]*p.Y + h[8]
	return paths.Point{X: (h[0]*p.X + h[1]*p.Y + h[2]) / w, Y: (h[3]*p.X + h[4]*p.Y + h[5]) / w}
}

// scaleAt returns the root of the factor of areas about p.
func (h homography) scaleAt(p paths.Point) float64 {
	w := h[6]*p.X + h[7]*p.Y + h[8]
	q := h.apply(p)
	xx, xy := (h[0]-q.X*h[6])/w, (h[1]-q.X*h[7])/w
	yx, yy := (h[3]-q.Y*h[6])/w, (h[4]-q.Y*h[7])/w
	return math.Sqrt(math.Abs(xx*yy - xy*yx))
}

// homographyOf returns the map that takes each of four or more points to its
// counterpart, by least squares on the equations of the direct linear
// transform, with both sets normalised first (Hartley, "In Defense of the
// Eight-Point Algorithm", IEEE PAMI 19, 1997). It returns an error when the
// points do not determine a map.
func homographyOf(from, to []paths.Point) (homography, error) {
	if len(from) != len(to) || len(from) < 4 {
		return homography{}, fmt.Errorf("%d points to %d", len(from), len(to))
	}
	a, b := levelling(from), levelling(to)
	m := mat.NewDense(2*len(from), 8, nil)
	v := mat.NewVecDense(2*len(from), nil)
	for i := range from {
		p, q := a.Apply(from[i]), b.Apply(to[i])
		m.SetRow(2*i, []float64{p.X, p.Y, 1, 0, 0, 0, -q.X * p.X, -q.X * p.Y})
		m.SetRow(2*i+1, []float64{0, 0, 0, p.X, p.Y, 1, -q.Y * p.X, -q.Y * p.Y})
		v.SetVec(2*i, q.X)
		v.SetVec(2*i+1, q.Y)
	}
	var x mat.VecDense
	if err := x.SolveVec(m, v); err != nil {
		return homography{}, err
	}
	var core homography
	for i := range 8 {
		core[i] = x.AtVec(i)
	}
	core[8] = 1
	back, ok := b.Inverse()
	if !ok {
		return homography{}, fmt.Errorf("the points coincide")
	}
	return times(times(ofAffine(back), core), ofAffine(a)), nil
}

// levelling returns Hartley's normalising map: it moves the mean of the points
// to the origin and scales their mean distance from it to √2.
func levelling(pts []paths.Point) paths.Affine {
	var mean paths.Point
	for _, p := range pts {
		mean = mean.Add(p.Mul(1 / float64(len(pts))))
	}
	var d float64
	for _, p := range pts {
		d += p.Dist(mean) / float64(len(pts))
	}
	k := math.Sqrt2 / d
	return paths.Translate(mean.Mul(-1)).Then(paths.Scale(k, k))
}

func ofAffine(m paths.Affine) homography {
	return homography{m.A, m.C, m.E, m.B, m.D, m.F, 0, 0, 1}
}

// times returns the map that does n first, then m.
func times(m, n homography) (out homography) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[3*i+j] += m[3*i+k] * n[3*k+j]
			}
		}
	}
	return out
}

// proportion returns the width over the height of the flat rectangle whose
// corners a camera sees at c, clockwise from the upper left, when its axis goes
// through centre and its pixels are square (Zhang and He, "Whiteboard scanning
// and image enhancement", Digital Signal Processing 17, 2007, section 3.2).
func proportion(c [4]paths.Point, centre paths.Point) float64 {
	m := func(i int) [3]float64 { return [3]float64{c[i].X - centre.X, c[i].Y - centre.Y, 1} }
	// In the paper's order: upper left, upper right, lower left, lower right.
	m1, m2, m3, m4 := m(0), m(1), m(3), m(2)
	k2 := dot(cross(m1, m4), m3) / dot(cross(m2, m4), m3)
	k3 := dot(cross(m1, m4), m2) / dot(cross(m3, m4), m2)
	var n2, n3 [3]float64
	for i := range 3 {
		n2[i], n3[i] = k2*m2[i]-m1[i], k3*m3[i]-m1[i]
	}
	across, down := n2[0]*n2[0]+n2[1]*n2[1], n3[0]*n3[0]+n3[1]*n3[1]
	f2 := -(n2[0]*n3[0] + n2[1]*n3[1]) / (n2[2] * n3[2])
	// Seen square on, or tilted about one axis only, the focal length cannot be
	// determined; assume that of a moderate lens (common practice: 0.8
	// diagonals of the picture).
	diagonal := 2 * centre.Len()
	if !(f2 > 0.16*diagonal*diagonal && f2 < 25*diagonal*diagonal) {
		f2 = 0.64 * diagonal * diagonal
	}
	return math.Sqrt((across + n2[2]*n2[2]*f2) / (down + n3[2]*n3[2]*f2))
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
