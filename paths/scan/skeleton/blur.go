package skeleton

import "math"

// Blur returns the picture after a Gaussian blur with a standard deviation of
// sigma pixels; beyond its sides the picture continues with its outermost
// pixels.
func Blur(p Plane, sigma float64) Plane {
	if sigma < 0.3 {
		return p
	}
	k := kernel(sigma)
	r := len(k) - 1
	out := NewPlane(p.W, p.H)
	Bands(p.H, func(y0, y1 int) {
		// Rows of the band and r around it, blurred along, times 256.
		along := make([]uint16, (y1-y0+2*r)*p.W)
		line := make([]uint32, p.W+2*r)
		for i := range y1 - y0 + 2*r {
			row := p.Pixels[min(p.H-1, max(0, y0-r+i))*p.W:][:p.W]
			for x := range line {
				line[x] = uint32(row[min(p.W-1, max(0, x-r))])
			}
			to := along[i*p.W:][:p.W]
			for x := range to {
				sum := k[0] * line[x+r]
				for d := 1; d <= r; d++ {
					sum += k[d] * (line[x+r-d] + line[x+r+d])
				}
				to[x] = uint16(sum)
			}
		}
		sums := make([]uint32, p.W)
		for y := y0; y < y1; y++ {
			mid := (y - y0 + r) * p.W
			for x, v := range along[mid:][:p.W] {
				sums[x] = k[0]*uint32(v) + 1<<15
			}
			for d := 1; d <= r; d++ {
				above, below := along[mid-d*p.W:][:p.W], along[mid+d*p.W:][:p.W]
				for x := range sums {
					sums[x] += k[d] * (uint32(above[x]) + uint32(below[x]))
				}
			}
			for x, s := range sums {
				out.Pixels[y*p.W+x] = uint8(s >> 16)
			}
		}
	})
	return out
}

// kernel returns the middle and one side of a Gaussian, as weights in 256ths of
// the sum.
func kernel(sigma float64) []uint32 {
	r := int(math.Ceil(3 * sigma))
	k := make([]uint32, r+1)
	var whole float64
	bell := func(i int) float64 { return math.Exp(-float64(i*i) / (2 * sigma * sigma)) }
	for i := -r; i <= r; i++ {
		whole += bell(i)
	}
	rest := uint32(256)
	for i := r; i > 0; i-- {
		k[i] = uint32(math.Round(256 * bell(i) / whole))
		rest -= 2 * k[i]
	}
	k[0] = rest
	return k
}
