package skeleton

import "math"

// The classes of a pixel.
const (
	bare   uint8 = iota // paper
	weak                // perhaps ink
	Strong              // ink for sure
)

// Black is the grey below which a pixel is ink whatever its neighbours are,
// because inside a large dark area they are no lighter.
const Black = Paper * 6 / 10

// sauvola is the rule of Sauvola and Pietikäinen, "Adaptive document image
// binarization", Pattern Recognition 33 (2000): ink is darker than m·(1 +
// k·(s/128 - 1)), with the mean m and the standard deviation s of the grey
// around it.
func sauvola(m, s, k float64) float64 { return m * (1 + k*(s/128-1)) }

// Threshold separates ink from paper by the rule of Sauvola, with one k for
// certain ink and a lesser one for ink that only counts where it touches
// certain ink. The window extends reach pixels each way; at the sides of the
// picture it is cut off.
func Threshold(p Plane, reach int, kStrong, kWeak float64) Plane {
	out := NewPlane(p.W, p.H)
	Bands(p.H, func(y0, y1 int) {
		top, bottom := max(0, y0-reach), min(p.H, y1+reach)
		sums := newIntegral(p, top, bottom)
		for y := y0; y < y1; y++ {
			a, b := max(0, y-reach)-top, min(p.H, y+reach+1)-top
			for x := range p.W {
				g := p.Pixels[y*p.W+x]
				m, s := sums.window(max(0, x-reach), min(p.W, x+reach+1), a, b)
				switch v := float64(g); {
				case g < Black:
					out.Pixels[y*p.W+x] = Strong
				case v >= m:
				case v < sauvola(m, s, kStrong):
					out.Pixels[y*p.W+x] = Strong
				case v < sauvola(m, s, kWeak):
					out.Pixels[y*p.W+x] = weak
				}
			}
		}
	})
	return out
}

// integral holds the sums of grey and of its square over everything above and
// to the left of each corner of a pixel. They may overflow: a window has fewer
// than 66,000 pixels, so their differences are still right.
type integral struct {
	w     int
	v, v2 []uint32
}

// newIntegral sums up rows top to bottom of p.
func newIntegral(p Plane, top, bottom int) *integral {
	w := p.W + 1
	s := &integral{w: w, v: make([]uint32, w*(bottom-top+1)), v2: make([]uint32, w*(bottom-top+1))}
	for y := top; y < bottom; y++ {
		var row, row2 uint32
		at := (y - top + 1) * w
		for x, g := range p.Pixels[y*p.W:][:p.W] {
			row += uint32(g)
			row2 += uint32(g) * uint32(g)
			s.v[at+x+1] = s.v[at-w+x+1] + row
			s.v2[at+x+1] = s.v2[at-w+x+1] + row2
		}
	}
	return s
}

// window returns the mean and the standard deviation over columns x0 to x1 and
// rows y0 to y1; x1 and y1 are not included.
func (s *integral) window(x0, x1, y0, y1 int) (mean, deviation float64) {
	a, b, c, d := y0*s.w+x0, y0*s.w+x1, y1*s.w+x0, y1*s.w+x1
	n := float64((x1 - x0) * (y1 - y0))
	mean = float64(s.v[d]-s.v[b]-s.v[c]+s.v[a]) / n
	square := float64(s.v2[d]-s.v2[b]-s.v2[c]+s.v2[a]) / n
	return mean, math.Sqrt(max(0, square-mean*mean))
}
