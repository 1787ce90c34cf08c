package raster

import (
	"slices"

	"weftplot/paths"
)

// quad is four corners in pixels of a photo, clockwise as seen (y down) from the
// upper left one.
type quad [4]paths.Point

// brightQuads returns places where a bright sheet may lie on a darker table,
// the likeliest first and only to within a few coarse pixels, and how large a
// coarse pixel is. It takes the largest bright pieces at a few levels of light.
func brightQuads(g grey) (quads []quad, coarse float64) {
	k := max(1, (max(g.w, g.h)+599)/600)
	small := reduced(g, k)
	for _, level := range splits(small) {
		mask := make([]bool, len(small.pix))
		for i, v := range small.pix {
			mask[i] = int(v) > level
		}
		mask = grown(mask, small.w, small.h)
		best := component{}
		for _, c := range components(mask, small.w, small.h) {
			if c.count > best.count {
				best = c
			}
		}
		if best.count*10 < len(mask) {
			continue // a sheet this small could not be traced
		}
		var pts []paths.Point
		flood(mask, make([]bool, len(mask)), small.w, small.h, best.first, func(x, y int) {
			if x == 0 || y == 0 || x == small.w-1 || y == small.h-1 || !mask[y*small.w+x-1] || !mask[y*small.w+x+1] || !mask[(y-1)*small.w+x] || !mask[(y+1)*small.w+x] {
				pts = append(pts, paths.Point{X: (float64(x) + 0.5) * float64(k), Y: (float64(y) + 0.5) * float64(k)})
			}
		})
		if q, ok := largestQuad(hull(pts)); ok {
			quads = append(quads, clockwise(q))
		}
	}
	return quads, float64(k)
}

// splits returns levels of light that divide a picture into bright and dark:
// that of Otsu ("A Threshold Selection Method from Gray-Level Histograms", IEEE
// Transactions on Systems, Man, and Cybernetics 9, 1979), and the same again
// among the bright and among the dark.
func splits(g grey) []int {
	var count [256]int
	for _, v := range g.pix {
		count[v]++
	}
	mid := otsu(count[:], 0)
	return []int{mid, otsu(count[:mid+1], 0), otsu(count[mid+1:], mid+1)}
}

// otsu returns the level that best divides a histogram whose first entry is
// level begin; levels up to it are dark.
func otsu(count []int, begin int) int {
	var all, sum float64
	for v, n := range count {
		all += float64(n)
		sum += float64(n) * float64(v)
	}
	best, at := -1.0, 0
	var dark, darkSum float64
	for v, n := range count {
		dark += float64(n)
		darkSum += float64(n) * float64(v)
		if dark == 0 || dark == all {
			continue
		}
		d := darkSum/dark - (sum-darkSum)/(all-dark)
		if between := dark * (all - dark) * d * d; between > best {
			best, at = between, v
		}
	}
	return begin + at
}

// grown returns a mask with two pixels more all round, so that a line drawn
// across the sheet does not divide it.
func grown(mask []bool, w, h int) []bool {
	for range 2 {
		out := slices.Clone(mask)
		for y := range h {
			for x := range w {
				i := y*w + x
				out[i] = mask[i] || x > 0 && mask[i-1] || x < w-1 && mask[i+1] || y > 0 && mask[i-w] || y < h-1 && mask[i+w]
			}
		}
		mask = out
	}
	return mask
}

// hull returns the corners of the convex hull, in order (Andrew, "Another
// efficient algorithm for convex hulls in two dimensions", Information
// Processing Letters 9, 1979).
func hull(pts []paths.Point) []paths.Point {
	slices.SortFunc(pts, func(a, b paths.Point) int {
		switch {
		case a.X < b.X || a.X == b.X && a.Y < b.Y:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	half := func() []paths.Point {
		var out []paths.Point
		for _, p := range pts {
			for len(out) > 1 && out[len(out)-1].Sub(out[len(out)-2]).Cross(p.Sub(out[len(out)-1])) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		return out[:max(0, len(out)-1)]
	}
	lower := half()
	slices.Reverse(pts)
	return append(lower, half()...)
}

// largestQuad returns the four corners of a convex polygon that hold the
// greatest area, by trying each diagonal.
func largestQuad(poly []paths.Point) (quad, bool) {
	n := len(poly)
	best, out := 0.0, quad{}
	for i := range n {
		for j := i + 2; j < n; j++ {
			d := poly[j].Sub(poly[i])
			farthest := func(from, to int) (k int, area float64) {
				for m := from; m < to; m++ {
					if a := abs(d.Cross(poly[m%n].Sub(poly[i]))); a > area {
						k, area = m%n, a
					}
				}
				return k, area
			}
			k1, a1 := farthest(i+1, j)
			k2, a2 := farthest(j+1, n+i)
			if a1 > 0 && a2 > 0 && a1+a2 > best {
				best, out = a1+a2, quad{poly[i], poly[k1], poly[j], poly[k2]}
			}
		}
	}
	return out, best > 0
}

// clockwise orders four corners clockwise as seen, from the upper left one.
func clockwise(q quad) quad {
	c := q[0].Add(q[1]).Add(q[2]).Add(q[3]).Mul(0.25)
	slices.SortFunc(q[:], func(a, b paths.Point) int {
		if a.Sub(c).Angle() < b.Sub(c).Angle() {
			return -1
		}
		return 1
	})
	first := 0
	for i, p := range q {
		if p.X+p.Y < q[first].X+q[first].Y {
			first = i
		}
	}
	return quad{q[first], q[(first+1)%4], q[(first+2)%4], q[(first+3)%4]}
}

// isConvex reports whether the corners go round once, each with a clear turn.
func (q quad) isConvex() bool {
	for i := range q {
		u, v := q[(i+1)%4].Sub(q[i]).Unit(), q[(i+2)%4].Sub(q[(i+1)%4]).Unit()
		if u.Cross(v) < 0.25 {
			return false
		}
	}
	return true
}

func abs(v float64) float64 { return max(v, -v) }
