package scan

import "math"

// farthest is the greatest distance in pixels that is told apart.
const farthest = 255

// distances holds for each pixel of a mask the square of the distance from its
// middle to that of the nearest bare pixel, 0 for bare ones; what lies outside
// the picture is bare.
type distances struct {
	w  int
	d2 []uint16
}

// distancesIn measures a mask. The way is that of Saito and Toriwaki, "New
// algorithms for Euclidean distance transformation of an n-dimensional digitized
// picture", Pattern Recognition 27 (1994): along columns, then the least of
// parabolas along rows.
func distancesIn(mask plane) distances {
	d := distances{mask.w, make([]uint16, mask.w*mask.h)}
	d.columns(mask)
	bands(mask.h, func(y0, y1 int) {
		line := make([]uint16, mask.w)
		for y := y0; y < y1; y++ {
			row := d.d2[y*d.w:][:d.w]
			for x := 0; x < d.w; x++ {
				if row[x] == 0 {
					continue
				}
				from := x
				for x < d.w && row[x] != 0 {
					x++
				}
				copy(line, row[from:x])
				across(line[:x-from], row[from:x])
			}
		}
	})
	return d
}

// columns fills in the distance to the nearest bare pixel of the column.
func (d distances) columns(mask plane) {
	bands(mask.w, func(x0, x1 int) {
		for y := range mask.h {
			at := y * mask.w
			for x := x0; x < x1; x++ {
				if mask.v[at+x] == 0 {
					continue
				}
				if y == 0 {
					d.d2[at+x] = 1
				} else {
					d.d2[at+x] = min(farthest, d.d2[at-mask.w+x]+1)
				}
			}
		}
		for y := mask.h - 1; y >= 0; y-- {
			at := y * mask.w
			for x := x0; x < x1; x++ {
				below := uint16(0)
				if y < mask.h-1 {
					below = d.d2[at+mask.w+x]
				}
				d.d2[at+x] = min(d.d2[at+x], below+1)
			}
		}
	})
}

// across takes the distances g along columns for a run of ink between two bare
// pixels, and puts out the squares of those to the nearest bare pixel at all.
func across(g, out []uint16) {
	n := len(g)
	for i := range g {
		best := min(int(g[i])*int(g[i]), (i+1)*(i+1), (n-i)*(n-i))
		for k := 1; k*k < best && (i >= k || i+k < n); k++ {
			if i >= k {
				best = min(best, k*k+int(g[i-k])*int(g[i-k]))
			}
			if i+k < n {
				best = min(best, k*k+int(g[i+k])*int(g[i+k]))
			}
		}
		out[i] = uint16(min(best, farthest*farthest))
	}
}

// at returns the distance at pixel i.
func (d distances) at(i int) float64 { return math.Sqrt(float64(d.d2[i])) }
