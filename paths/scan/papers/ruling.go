package papers

import (
	"math"
	"math/rand/v2"
)

// ruling is what is printed on the paper before anybody draws on it.
type ruling struct {
	families []family
	dots     bool // at the crossings of the first two families only
	turn     float64
}

// family is lines side by side. Their colour is what is left of white light.
type family struct {
	angle  float64 // of the normal, degrees from the x axis
	pitch  float64 // mm
	offset float64 // of one line from the sheet's lower left corner, mm
	width  float64 // mm
	colour [3]float64
	single bool // only the one line at its offset
}

func rgb(r, g, b float64) [3]float64 { return [3]float64{r / 255, g / 255, b / 255} }

// squared is 5 mm squares in light blue.
func squared(*rand.Rand) ruling {
	blue := rgb(150, 185, 225)
	return ruling{families: []family{{0, 5, 0, 0.25, blue, false}, {90, 5, 0, 0.25, blue, false}}}
}

// lined is lines 7 to 9 mm apart, and a red one down the margin.
func lined(random *rand.Rand) ruling {
	pitch := 7 + float64(random.IntN(3))
	return ruling{families: []family{
		{90, pitch, 0, 0.3, rgb(140, 165, 205), false},
		{0, 1, 22 + 6*random.Float64(), 0.35, rgb(225, 130, 135), true},
	}}
}

// dotted is grey dots 5 mm apart.
func dotted(*rand.Rand) ruling {
	grey := rgb(150, 152, 160)
	return ruling{dots: true, families: []family{{0, 5, 0, 0.55, grey, false}, {90, 5, 0, 0.55, grey, false}}}
}

// isometric is three families of lines, 60 degrees between them.
func isometric(random *rand.Rand) ruling {
	colour := [][3]float64{rgb(150, 195, 165), rgb(165, 180, 215), rgb(205, 170, 150)}[random.IntN(3)]
	r := ruling{}
	for k := range 3 {
		r.families = append(r.families, family{30 + 60*float64(k), 5, 0, 0.22, colour, false})
	}
	return r
}

// graph is paper whose lines are dark: squares of 2 or 5 mm, with a stronger line
// every cm.
func graph(random *rand.Rand) ruling {
	colour := [][3]float64{rgb(105, 135, 110), rgb(95, 120, 165), rgb(165, 110, 85)}[random.IntN(3)]
	soft := [3]float64{}
	for i, c := range colour {
		soft[i] = 0.45 + 0.55*c
	}
	fine := []float64{2, 5}[random.IntN(2)]
	r := ruling{}
	for _, a := range []float64{0, 90} {
		r.families = append(r.families, family{a, fine, 0, 0.15, soft, false}, family{a, 10, 0, 0.3, colour, false})
	}
	return r
}

// light is what the printing leaves of the light at a place in mm from the lower
// left corner of the sheet.
func (r *ruling) light(x, y float64, seed uint64) [3]float64 {
	out := [3]float64{1, 1, 1}
	if r == nil {
		return out
	}
	sin, cos := math.Sincos(r.turn * math.Pi / 180)
	x, y = x*cos-y*sin, x*sin+y*cos
	if r.dots {
		d := math.Hypot(r.families[0].off(x, y), r.families[1].off(x, y))
		return r.families[0].over(out, d, 1)
	}
	for _, f := range r.families {
		d := math.Abs(f.off(x, y))
		if d < f.width {
			out = f.over(out, d, 0.88+0.12*noise(x/1.5, y/1.5, seed+77))
		}
	}
	return out
}

// off is how far a place lies from the nearest line.
func (f family) off(x, y float64) float64 {
	sin, cos := math.Sincos(f.angle * math.Pi / 180)
	t := x*cos + y*sin - f.offset
	if f.single {
		return t
	}
	return t - f.pitch*math.Round(t/f.pitch)
}

// over prints a line over light that comes from below; d is the distance from its
// middle.
func (f family) over(light [3]float64, d, strength float64) [3]float64 {
	const soft = 0.08
	cover := strength * min(1, max(0, (f.width/2-d)/soft+0.5))
	for i := range light {
		light[i] *= 1 - cover*(1-f.colour[i])
	}
	return light
}
