package keptcloth

import "weftplot/paths"

// covered reports whether every place of a stroke lies within tol of one of the
// others. Places are looked at every half millimetre.
func covered(s paths.Stroke, by []paths.Stroke, tol float64) bool {
	var near [][]paths.Point
	box := s.Bounds().Grow(tol)
	for _, k := range by {
		b := k.Bounds()
		if b.Min.X <= box.Max.X && b.Max.X >= box.Min.X && b.Min.Y <= box.Max.Y && b.Max.Y >= box.Min.Y {
			near = append(near, k.Flatten(tol/4))
		}
	}
	pts := s.Flatten(tol / 4)
	for i := range pts {
		a, b := pts[max(0, i-1)], pts[i]
		n := max(1, int(a.Dist(b)/0.5))
		for k := 1; k <= n; k++ {
			if !touched(a.Add(b.Sub(a).Mul(float64(k)/float64(n))), near, tol*1.25) {
				return false
			}
		}
	}
	return true
}

// touched reports whether a polyline passes within tol of p.
func touched(p paths.Point, lines [][]paths.Point, tol float64) bool {
	for _, l := range lines {
		for i := range l {
			a, b := l[max(0, i-1)], l[i]
			d := b.Sub(a)
			t := 0.0
			if q := d.X*d.X + d.Y*d.Y; q > 0 {
				t = min(1, max(0, ((p.X-a.X)*d.X+(p.Y-a.Y)*d.Y)/q))
			}
			if p.Dist(a.Add(d.Mul(t))) <= tol {
				return true
			}
		}
	}
	return false
}
