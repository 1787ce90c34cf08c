package skeleton

import "math"

// farthest is the greatest distance in pixels that is measured; greater ones
// count as this.
const farthest = 255

// Distances holds for each pixel of a mask the square of the distance from its
// middle to that of the nearest bare pixel, 0 for bare ones; everything outside
// the picture is bare.
type Distances struct {
	w       int
	Squares []uint16
}

// DistancesIn measures a mask. The method is that of Saito and Toriwaki, "New
// algorithms for Euclidean distance transformation of an n-dimensional
// digitized picture", Pattern Recognition 27 (1994): along columns, then the
// least of parabolas along rows.
func DistancesIn(mask Plane) Distances {
	d := Distances{mask.W, make([]uint16, mask.W*mask.H)}
	d.columns(mask)
	Bands(mask.H, func(y0, y1 int) {
		line := make([]uint16, mask.W)
		for y := y0; y < y1; y++ {
			row := d.Squares[y*d.w:][:d.w]
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
func (d Distances) columns(mask Plane) {
	Bands(mask.W, func(x0, x1 int) {
		for y := range mask.H {
			at := y * mask.W
			for x := x0; x < x1; x++ {
				if mask.Pixels[at+x] == 0 {
					continue
				}
				if y == 0 {
					d.Squares[at+x] = 1
				} else {
					d.Squares[at+x] = min(farthest, d.Squares[at-mask.W+x]+1)
				}
			}
		}
		for y := mask.H - 1; y >= 0; y-- {
			at := y * mask.W
			for x := x0; x < x1; x++ {
				below := uint16(0)
				if y < mask.H-1 {
					below = d.Squares[at+mask.W+x]
				}
				d.Squares[at+x] = min(d.Squares[at+x], below+1)
			}
		}
	})
}

// across takes the distances g along the columns for ink between two bare
// pixels of a row, and sets out to the squares of the distances to the nearest
// bare pixel in any direction.
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

// At returns the distance at pixel i.
func (d Distances) At(i int) float64 { return math.Sqrt(float64(d.Squares[i])) }
