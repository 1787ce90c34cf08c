package raster

import (
	"image"
	"math"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Ink says which ink of a coloured picture is the drawing. The zero Ink is all of it.
type Ink struct {
	name string
	// absorbs is how strongly it takes red, green and blue away, of colour; grey inks
	// have none.
	hue     [3]float64
	grey    bool
	at      paths.Point // where to look, in pixels of the upright picture
	pointed bool
}

// inks are those that have names, by what they absorb.
var inks = map[string][3]float64{
	"red": {0, 1, 1}, "blue": {1, 1, 0}, "green": {1, 0, 1}, "yellow": {0, 0, 1}, "orange": {0, 0.5, 1}, "purple": {0.5, 1, 0},
}

const sayInk = "say dark, pencil, red, blue, green, yellow, orange or purple, or point at it in pixels of the picture, such as 812,440"

// InkNamed returns the ink of a name: a colour, or dark or pencil for those without one.
func InkNamed(name string) (Ink, error) {
	name = strings.ToLower(strings.TrimSpace(name))
	if name == "dark" || name == "pencil" {
		return Ink{name: name, grey: true}, nil
	}
	if absorbs, ok := inks[name]; ok {
		return Ink{name: name, hue: hueOf(absorbs)}, nil
	}
	return Ink{}, fault.Bad("ink", sayInk, "%q is no ink", name)
}

// InkAt returns the ink at a place of the upright picture, in pixels.
func InkAt(p paths.Point) Ink { return Ink{name: "the one pointed at", at: p, pointed: true} }

// hueOf returns the direction in which absorption differs from grey, of length 1; 0 for
// grey.
func hueOf(a [3]float64) [3]float64 {
	mean := (a[0] + a[1] + a[2]) / 3
	h := [3]float64{a[0] - mean, a[1] - mean, a[2] - mean}
	l := math.Sqrt(dot(h, h))
	if l < 1e-9 {
		return [3]float64{}
	}
	return [3]float64{h[0] / l, h[1] / l, h[2] / l}
}

// absorption is the natural logarithm of what a levelled pixel takes of the paper's
// light (Beer and Lambert), for red, green and blue.
func absorption(v [3]uint8, white int) (a [3]float64) {
	for c := range a {
		a[c] = max(0, math.Log(float64(max(1, white))/float64(max(1, v[c]))))
	}
	return a
}

// A pixel is coloured by how much its absorption differs from grey: not below plain, and
// surely above vivid. Two hues are one ink above likeHue, as the cosine between them.
const (
	plain     = 0.14
	vivid     = 0.3
	otherHue  = 0.5
	likeHue   = 0.75
	faintness = 0.06 // absorption below which a pixel is paper
)

// share returns how much of a pixel's darkness is of the ink, from 0 to 1.
func (k Ink) share(a [3]float64) float64 {
	size := math.Sqrt(dot(a, a))
	if size < faintness {
		return 1
	}
	mean := (a[0] + a[1] + a[2]) / 3
	colour := ramp(math.Sqrt(max(0, dot(a, a)-3*mean*mean))/size, plain, vivid)
	if k.grey {
		return 1 - colour
	}
	return colour * ramp(dot(hueOf(a), k.hue), otherHue, likeHue)
}

func ramp(v, from, to float64) float64 { return min(1, max(0, (v-from)/(to-from))) }

// pick settles an ink that was pointed at: that of the darkest pixel near by. value
// returns the levelled pixel at a place of the picture.
func (k Ink) pick(w, h, white int, value func(x, y int) [3]uint8) (Ink, error) {
	if !k.pointed {
		return k, nil
	}
	const reach = 4
	var most [3]float64
	x0, y0 := int(k.at.X), int(k.at.Y)
	for y := max(0, y0-reach); y <= min(h-1, y0+reach); y++ {
		for x := max(0, x0-reach); x <= min(w-1, x0+reach); x++ {
			if a := absorption(value(x, y), white); dot(a, a) > dot(most, most) {
				most = a
			}
		}
	}
	if math.Sqrt(dot(most, most)) < 3*faintness {
		return k, fault.Bad("ink", "point at the middle of a line of the drawing", "there is no ink at %g,%g", k.at.X, k.at.Y)
	}
	mean := (most[0] + most[1] + most[2]) / 3
	k.grey = math.Sqrt(max(0, dot(most, most)-3*mean*mean)) < (plain+vivid)/2*math.Sqrt(dot(most, most))
	k.hue = hueOf(most)
	return k, nil
}

// colours reads the pixels of a stored picture, its paper made neutral.
type colours struct {
	grey  grey // of the size of the picture
	row   func(int, []uint8)
	rgb   []uint8
	level [3][256]uint8
	white int // the light of paper
}

// coloursOf returns the colours of a picture. ok is false for one that has none.
func coloursOf(img image.Image) (c colours, ok bool) {
	if _, colourless := img.(*image.Gray); colourless {
		return c, false
	}
	b := img.Bounds()
	c = colours{grey: newGrey(b.Dx(), b.Dy()), row: rowsOf(img)}
	c.rgb = make([]uint8, 3*c.grey.w)
	c.level = levels(c.grey, c.row)
	for y := 0; y < c.grey.h; y += max(1, c.grey.h/200) {
		c.read(y)
		for x := range c.grey.w {
			v := c.at(x)
			c.white = max(c.white, int(min(v[0], v[1], v[2])))
		}
	}
	return c, true
}

// read reads row y.
func (c colours) read(y int) { c.row(y, c.rgb) }

// at returns pixel x of the row that was read last.
func (c colours) at(x int) [3]uint8 {
	return [3]uint8{c.level[0][c.rgb[3*x]], c.level[1][c.rgb[3*x+1]], c.level[2][c.rgb[3*x+2]]}
}

// only returns the light of a picture in which all inks but one are paper. A picture
// without colour has one ink.
func (k Ink) only(img image.Image, orientation int) (grey, error) {
	if k == (Ink{}) {
		return lightOf(img), nil
	}
	c, ok := coloursOf(img)
	if !ok {
		if k.hue != ([3]float64{}) {
			return grey{}, fault.Bad("ink", "scan it in colour, or leave the ink out", "the picture is grey and shows no %s ink", k.name)
		}
		return lightOf(img), nil
	}
	g := c.grey
	w, h := g.w, g.h
	if orientation >= 5 {
		w, h = h, w
	}
	k, err := k.pick(w, h, c.white, func(x, y int) [3]uint8 {
		sx, sy := stored(x, y, g.w, g.h, orientation)
		c.read(sy)
		return c.at(sx)
	})
	if err != nil {
		return g, err
	}
	for y := range g.h {
		c.read(y)
		for x := range g.w {
			v := c.at(x)
			light := float64(min(v[0], v[1], v[2]))
			if gap := float64(c.white) - light; gap > 0 {
				light = float64(c.white) - gap*k.share(absorption(v, c.white))
			}
			g.pix[y*g.w+x] = uint8(light + 0.5)
		}
	}
	return g, nil
}
