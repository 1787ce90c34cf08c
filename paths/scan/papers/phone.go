package papers

import (
	"image"
	"math"
	"math/rand/v2"

	"weftplot/paths"
)

// phone is a camera held over a sheet on a table.
type phone struct {
	w, h    int
	focal   float64 // px
	bending float64 // how much farther from the middle of the picture its corners come to lie, of their distance
	// The sheet's frame seen from the camera: where its middle is, and the
	// directions of its two axes; mm.
	mid, across, along [3]float64
}

// hold holds a phone over a sheet of w by h mm, tilted by 3 to 14 degrees, so
// that the sheet fills most of the picture at about mm a pixel.
func hold(random *rand.Rand, w, h, mm, bending float64) phone {
	p := phone{w: int(w * 1.24 / mm), h: int(h * 1.24 / mm), bending: bending}
	p.focal = 1.05 * float64(max(p.w, p.h))
	far := p.focal * mm
	tilt, way := (3+11*random.Float64())*math.Pi/180, 2*math.Pi*random.Float64()
	turn := (6*random.Float64() - 3) * math.Pi / 180
	// The sheet is turned in its plane, and then tilted about an axis in it that
	// points along `way`; the camera looks along +z, y up.
	place := func(x, y float64) [3]float64 {
		x, y = x*math.Cos(turn)-y*math.Sin(turn), x*math.Sin(turn)+y*math.Cos(turn)
		u, v := x*math.Cos(way)+y*math.Sin(way), -x*math.Sin(way)+y*math.Cos(way)
		v, z := v*math.Cos(tilt), v*math.Sin(tilt)
		return [3]float64{u*math.Cos(way) - v*math.Sin(way), u*math.Sin(way) + v*math.Cos(way), z}
	}
	p.across, p.along = place(1, 0), place(0, 1)
	p.mid = [3]float64{w * 0.02 * (2*random.Float64() - 1), h * 0.02 * (2*random.Float64() - 1), far * (1.0 + 0.04*random.Float64())}
	return p
}

// sees returns the place in the sheet's plane that a pixel shows, in mm from the
// sheet's middle.
func (p phone) sees(x, y float64) paths.Point {
	dx, dy := x-float64(p.w)/2, float64(p.h)/2-y
	// The lens puts a ray at radius r, in half diagonals, at r(1 + bending r²); the
	// ray is found by Newton's method.
	half := math.Hypot(float64(p.w), float64(p.h)) / 2
	shown := math.Sqrt(dx*dx+dy*dy) / half
	r := shown
	for range 3 {
		r -= (r*(1+p.bending*r*r) - shown) / (1 + 3*p.bending*r*r)
	}
	k := 1.0
	if shown > 0 {
		k = r / shown
	}
	ray := [3]float64{dx * k / p.focal, dy * k / p.focal, 1}
	// mid + a across + b along = t ray, by Cramer's rule.
	d := det(p.across, p.along, neg(ray))
	m := neg(p.mid)
	return at(det(m, p.along, neg(ray))/d, det(p.across, m, neg(ray))/d)
}

func neg(a [3]float64) [3]float64 { return [3]float64{-a[0], -a[1], -a[2]} }

func det(a, b, c [3]float64) float64 {
	return a[0]*(b[1]*c[2]-b[2]*c[1]) - b[0]*(a[1]*c[2]-a[2]*c[1]) + c[0]*(a[1]*b[2]-a[2]*b[1])
}

// photographed is the picture of a sheet on a wooden table by a phone: seen
// aslant, bent by the lens, lit from one side, with the soft edge of a shadow
// across it.
func photographed(s surface, random *rand.Rand, mm, bending float64) image.Image {
	sw, sh := s.size()
	p := hold(random, sw, sh, mm, bending)
	seed := random.Uint64()
	wood := [3]float64{120, 84, 56}
	lamp := 2 * math.Pi * random.Float64()
	fall := 0.15 + 0.2*random.Float64()
	shadow, edge := 2*math.Pi*random.Float64(), (random.Float64()-0.5)*0.8
	tint := [3]float64{1, 0.97 + 0.02*random.Float64(), 0.88 + 0.08*random.Float64()}
	e := expose(p.w, p.h, func(x, y float64) [3]float64 {
		q := p.sees(x, y)
		c, on := s.at(q.Add(at(sw/2, sh/2)))
		if !on {
			grain := 0.75 + 0.35*noise(q.X/2.5, q.Y/60, seed) + 0.15*noise(q.X/0.7, q.Y/25, seed+1)
			for i := range c {
				c[i] = wood[i] * grain
			}
		}
		u, v := x/float64(p.w)-0.5, y/float64(p.h)-0.5
		light := 1 - fall*(0.5+u*math.Cos(lamp)+v*math.Sin(lamp)) - 0.15*(u*u+v*v)
		t := u*math.Cos(shadow) + v*math.Sin(shadow) - edge
		light *= 1 - 0.22/(1+math.Exp(-t/0.02))
		for i := range c {
			c[i] *= light * tint[i]
		}
		return c
	})
	e.blur(0.6 + 0.4*random.Float64())
	return e.picture(2.5+2.5*random.Float64(), random.NormFloat64)
}
