package papers

import (
	"image"
	"math"

	"weftplot/paths"
)

// surface is the look of a sheet: what it sends back of white light, as RGB of 8
// bits a pixel, rows from the top down.
type surface struct {
	w, h int
	mm   float64
	rgb  []uint8
}

// paperWhite is the colour of the paper itself.
var paperWhite = [3]float64{244, 242, 236}

// look develops the sheet: paper with its rulings, and the pigment over them.
func (s *sheet) look(colour [3]float64, r *ruling) surface {
	out := surface{s.w, s.h, s.mm, make([]uint8, 3*len(s.pigment))}
	for i, d := range s.pigment {
		x, y := (float64(i%s.w)+0.5)*s.mm, (float64(s.h-i/s.w)-0.5)*s.mm
		light := r.light(x, y, s.seed)
		fibre := 1 + 0.012*(noise(x/0.3, y/0.3, s.seed+5)-0.5)
		for c := range 3 {
			v := paperWhite[c] * fibre * light[c]
			if d > 0 {
				v *= math.Exp(-float64(d) * colour[c])
			}
			out.rgb[3*i+c] = uint8(min(255, math.Round(v)))
		}
	}
	return out
}

// under puts the pigment of another surface over this one.
func (s surface) under(o surface) {
	for i, v := range o.rgb {
		s.rgb[i] = uint8(min(255, math.Round(float64(s.rgb[i])*float64(v)/paperWhite[i%3])))
	}
}

// size is the size of the sheet in mm.
func (s surface) size() (w, h float64) { return float64(s.w) * s.mm, float64(s.h) * s.mm }

// at returns the colour at a place in mm from the lower left corner, and whether
// it lies on the sheet.
func (s surface) at(p paths.Point) (c [3]float64, on bool) {
	x, y := p.X/s.mm-0.5, float64(s.h)-p.Y/s.mm-0.5
	if x < -0.5 || y < -0.5 || x > float64(s.w)-0.5 || y > float64(s.h)-0.5 {
		return c, false
	}
	x, y = min(max(x, 0), float64(s.w)-1.001), min(max(y, 0), float64(s.h)-1.001)
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	k := 3 * (j*s.w + i)
	for n := range 3 {
		a := float64(s.rgb[k+n])*(1-fx) + float64(s.rgb[k+3+n])*fx
		b := float64(s.rgb[k+3*s.w+n])*(1-fx) + float64(s.rgb[k+3*s.w+3+n])*fx
		c[n] = a*(1-fy) + b*fy
	}
	return c, true
}

// exposure is a picture before it is made of whole numbers: three planes of
// light from 0 to 255.
type exposure struct {
	w, h   int
	planes [3][]float32
}

// expose asks for the colour of each pixel, as the mean of two places in it.
func expose(w, h int, look func(x, y float64) [3]float64) exposure {
	e := exposure{w: w, h: h}
	for c := range e.planes {
		e.planes[c] = make([]float32, w*h)
	}
	for i := range w * h {
		for _, d := range [2][2]float64{{0.25, 0.7}, {0.75, 0.3}} {
			v := look(float64(i%w)+d[0], float64(i/w)+d[1])
			for c := range v {
				e.planes[c][i] += float32(v[c] / 2)
			}
		}
	}
	return e
}

// blur spreads the light by sigma pixels.
func (e exposure) blur(sigma float64) {
	for c := range e.planes {
		e.planes[c] = blurred(e.planes[c], e.w, sigma)
	}
}

// picture makes whole numbers of the light. normal gives the sensor's noise,
// noise is its standard deviation.
func (e exposure) picture(noise float64, normal func() float64) *image.NRGBA {
	out := image.NewNRGBA(image.Rect(0, 0, e.w, e.h))
	for i := range e.w * e.h {
		shared := normal()
		for c := range e.planes {
			v := float64(e.planes[c][i]) + noise*(0.8*shared+0.6*normal())
			out.Pix[4*i+c] = uint8(min(255, max(0, math.Round(v))))
		}
		out.Pix[4*i+3] = 255
	}
	return out
}
