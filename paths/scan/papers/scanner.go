package papers

import (
	"image"
	"math"
	"math/rand/v2"

	"weftplot/paths"
)

// glass is a sheet as it lies on a scanner: the map from a place on the sheet to
// one on the picture, both in mm from the lower left corner.
func glass(s surface, random *rand.Rand, mm float64) (w, h int, onto paths.Affine) {
	sw, sh := s.size()
	w, h = int(math.Round(sw/mm)), int(math.Round(sh/mm))
	turn := (3*random.Float64() - 1.5) * math.Pi / 180
	shift := at(2*random.Float64()-1, 2*random.Float64()-1)
	mid := at(sw/2, sh/2)
	return w, h, paths.Translate(mid.Mul(-1)).Then(paths.Rotate(turn)).Then(paths.Translate(mid.Add(shift)))
}

// flatbed exposes a sheet that lies a little askew, in light that falls off, with
// the lid white round it.
func flatbed(s surface, random *rand.Rand, mm float64) (exposure, paths.Affine) {
	w, h, onto := glass(s, random, mm)
	back, _ := onto.Inverse()
	fall := 0.04 + 0.1*random.Float64()
	lean := 2*random.Float64() - 1
	e := expose(w, h, func(x, y float64) [3]float64 {
		c, on := s.at(back.Apply(at(x*mm, (float64(h)-y)*mm)))
		if !on {
			c = [3]float64{249, 249, 249}
		}
		u, v := x/float64(w)-0.5, y/float64(h)-0.5
		lamp := 1 - fall*(0.5+u*lean+2*v*v)
		for i := range c {
			c[i] *= lamp
		}
		return c
	})
	e.blur(0.05/mm + 0.2)
	return e, onto
}

// scanned is the picture of a flatbed scanner in colour.
func scanned(s surface, random *rand.Rand, mm float64) (image.Image, paths.Affine) {
	e, onto := flatbed(s, random, mm)
	return e.picture(2+2*random.Float64(), random.NormFloat64), onto
}

// photocopied is a copy by an old copier, scanned in grey: hard in contrast, with
// specks of toner, and black along one or two sides where the lid did not lie
// flat.
func photocopied(s surface, random *rand.Rand, mm float64) (image.Image, paths.Affine) {
	e, onto := flatbed(s, random, mm)
	out := image.NewGray(image.Rect(0, 0, e.w, e.h))
	seed := random.Uint64()
	level := 150 + 30*random.Float64()
	shade := func(v float64) float64 { return 12 + 236/(1+math.Exp(-(v-level)/14)) }
	black := borderOf(random, e.w, e.h, mm, seed)
	for i := range out.Pix {
		v := shade(float64(0.3*e.planes[0][i] + 0.59*e.planes[1][i] + 0.11*e.planes[2][i]))
		if black(i%e.w, i/e.w) {
			v = 25
		}
		out.Pix[i] = uint8(min(255, max(0, math.Round(v+3*random.NormFloat64()))))
	}
	for range int(float64(e.w*e.h) * mm * mm / 62370 * (150 + 250*random.Float64())) {
		speck(out, random, mm)
	}
	return out, onto
}

// borderOf says which pixels lie in the copier's black edge: along one or two
// sides, 2 to 6 mm wide, with a ragged inner side.
func borderOf(random *rand.Rand, w, h int, mm float64, seed uint64) func(x, y int) bool {
	var wide [4]float64
	first := random.IntN(4)
	wide[first] = 2 + 4*random.Float64()
	if random.IntN(2) == 0 {
		wide[(first+1)%4] = 2 + 4*random.Float64()
	}
	return func(x, y int) bool {
		for side, d := range [4]int{x, y, w - 1 - x, h - 1 - y} {
			if wide[side] == 0 {
				continue
			}
			along := float64(y)
			if side%2 == 1 {
				along = float64(x)
			}
			if float64(d)*mm < wide[side]+0.6*wave(along*mm/4, seed)+0.25*wave(along*mm/0.5, seed+1) {
				return true
			}
		}
		return false
	}
}

// speck puts a spot of toner of 0.1 to 0.5 mm, most of them small.
func speck(out *image.Gray, random *rand.Rand, mm float64) {
	r := (0.05 + 0.2*math.Pow(random.Float64(), 3)) / mm
	cx, cy := random.Float64()*float64(out.Rect.Dx()), random.Float64()*float64(out.Rect.Dy())
	for y := int(cy - r - 1); y <= int(cy+r+1); y++ {
		for x := int(cx - r - 1); x <= int(cx+r+1); x++ {
			cover := min(1, max(0, r-math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy)+0.5))
			if i := y*out.Stride + x; image.Pt(x, y).In(out.Rect) {
				out.Pix[i] = uint8(float64(out.Pix[i]) * (1 - 0.85*cover))
			}
		}
	}
}
