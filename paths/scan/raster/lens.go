package raster

import (
	"math"

	"weftplot/paths"
)

// lens is how a camera bends straight lines: radially about the middle of the picture,
// by the division model of Fitzgibbon, "Simultaneous linear estimation of multiple view
// geometry and lens distortion", CVPR 2001. The zero lens bends nothing.
type lens struct {
	centre paths.Point // pixels
	half   float64     // half the diagonal of the picture, pixels
	bend   float64     // of the model, for distances in half diagonals
}

// straight returns where a place of the photo would be without the bending.
func (l lens) straight(p paths.Point) paths.Point {
	if l.bend == 0 {
		return p
	}
	d := p.Sub(l.centre)
	r := d.Len() / l.half
	return l.centre.Add(d.Mul(1 / (1 + l.bend*r*r)))
}

// bent is the inverse of straight.
func (l lens) bent(p paths.Point) paths.Point {
	d := p.Sub(l.centre)
	r := d.Len() / l.half
	if l.bend == 0 || r < 1e-9 {
		return p
	}
	root := math.Sqrt(max(0, 1-4*l.bend*r*r))
	return l.centre.Add(d.Mul(2 / (1 + root))) // of the two roots, the one that is 1 without bending
}

// The bending that is looked for, and the least that is taken out: less is lost in the
// bow of a sheet.
const (
	mostBend  = 0.12
	leastBend = 0.004
)

// lensBy finds the bending by which the edges of a sheet are straightest, and the
// corners of the sheet in straightened pixels. It returns the zero lens where bending
// explains little of their bow. rms is how far the edges are from straight after it, in
// pixels; ok is false where an edge is not to be seen.
func lensBy(g grey, q quad, reach float64) (l lens, out quad, rms float64, ok bool) {
	var edges [4][]paths.Point
	for i := range edges {
		if edges[i] = bowed(edgePoints(g, q[i], q[(i+1)%4], reach)); len(edges[i]) < 20 {
			return l, q, 0, false
		}
	}
	l = lens{centre: paths.Point{X: float64(g.w) / 2, Y: float64(g.h) / 2}}
	l.half = l.centre.Len()
	bow := l.bow(edges)
	low, high := -mostBend, mostBend
	for range 40 { // golden section
		k := (math.Sqrt(5) - 1) / 2
		a, b := high-k*(high-low), low+k*(high-low)
		if l.with(a).bow(edges) < l.with(b).bow(edges) {
			high = b
		} else {
			low = a
		}
	}
	if m := l.with((low + high) / 2); math.Abs(m.bend) > leastBend && m.bow(edges) < 0.6*bow {
		l = m
	}
	var sides [4]line
	for i, pts := range edges {
		sides[i], _ = l.edge(pts)
	}
	for i := range out {
		p, meets := sides[(i+3)%4].meets(sides[i])
		if !meets {
			return l, q, 0, false
		}
		out[i] = p
	}
	return l, out, l.bow(edges), true
}

func (l lens) with(bend float64) lens {
	l.bend = bend
	return l
}

// bow returns how far the worst of four edges is from straight, in pixels.
func (l lens) bow(edges [4][]paths.Point) float64 {
	worst := 0.0
	for _, pts := range edges {
		_, rms := l.edge(pts)
		worst = max(worst, rms)
	}
	return worst
}

// edge returns the line through the straightened points of an edge, and how far they are
// from it.
func (l lens) edge(pts []paths.Point) (line, float64) {
	list, weight := make([]paths.Point, len(pts)), make([]float64, len(pts))
	for i, p := range pts {
		list[i], weight[i] = l.straight(p), 1
	}
	m := fitLine(list, weight)
	sum := 0.0
	for _, p := range list {
		sum += m.off(p) * m.off(p) / float64(len(list))
	}
	return m, math.Sqrt(sum)
}

// bowed returns the points that lie along the parabola of most of them, in the frame of
// their own line: an edge bends little, and fingers and shadows lie beside it.
func bowed(pts []paths.Point) []paths.Point {
	if len(pts) < 20 {
		return nil
	}
	a, b := pts[0], pts[len(pts)-1]
	u, half := b.Sub(a).Unit(), a.Dist(b)/2
	x, y := make([]float64, len(pts)), make([]float64, len(pts))
	weight := make([]float64, len(pts))
	for i, p := range pts {
		d := p.Sub(a.Lerp(b, 0.5))
		x[i], y[i], weight[i] = d.Dot(u)/half, u.Cross(d), 1
	}
	var c [3]float64
	for range 20 {
		c = parabolaBy(x, y, weight)
		for i := range weight {
			weight[i] = 1 / max(0.3, abs(y[i]-c[0]-c[1]*x[i]-c[2]*x[i]*x[i]))
		}
	}
	var out []paths.Point
	for i, p := range pts {
		if abs(y[i]-c[0]-c[1]*x[i]-c[2]*x[i]*x[i]) < 3 {
			out = append(out, p)
		}
	}
	return out
}

// parabolaBy fits y = c0 + c1 x + c2 x² by weighted least squares.
func parabolaBy(x, y, weight []float64) (c [3]float64) {
	var m [3][4]float64
	for i := range x {
		t := [3]float64{1, x[i], x[i] * x[i]}
		for a := range t {
			for b := range t {
				m[a][b] += weight[i] * t[a] * t[b]
			}
			m[a][3] += weight[i] * t[a] * y[i]
		}
	}
	for i := range m {
		m[i][i] += 1e-9
		for j := i + 1; j < 3; j++ {
			f := m[j][i] / m[i][i]
			for k := i; k < 4; k++ {
				m[j][k] -= f * m[i][k]
			}
		}
	}
	for i := 2; i >= 0; i-- {
		c[i] = m[i][3]
		for j := i + 1; j < 3; j++ {
			c[i] -= m[i][j] * c[j]
		}
		c[i] /= m[i][i]
	}
	return c
}
