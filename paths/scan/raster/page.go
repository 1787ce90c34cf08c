package raster

import (
	"image"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan/tint"
)

// Page is the picture of a drawing on paper: upright, seen square on, in square
// pixels of grey.
type Page struct {
	W, H  int     // pixels across and down
	Light []uint8 // W*H, rows from the top; 0 black, 255 white
	MM    float64 // mm a pixel
	// Tints are the colours of the pixels, rows from the top; nil unless they were
	// asked for.
	Tints []tint.Tint
}

// tinted gives a page the tints of the picture that it was made of. onto maps places of
// the page, in its pixels, to the upright picture.
func (p *Page) tinted(img image.Image, orientation int, onto func(paths.Point) paths.Point) error {
	c, ok := coloursOf(img)
	if !ok {
		return fault.Bad("layers-by", "scan it in colour, or leave it out", "the picture is grey, and shows no inks of their own colour")
	}
	g := c.grey
	for y := range g.h {
		c.read(y)
		for x := range g.w {
			g.pix[y*g.w+x] = uint8(tint.Of(absorption(c.at(x), c.white)))
		}
	}
	g = upright(g, orientation)
	p.Tints = make([]tint.Tint, p.W*p.H)
	for y := range p.H {
		for x := range p.W {
			// The nearest: hues have no mean.
			q := onto(paths.Point{X: float64(x) + 0.5, Y: float64(y) + 0.5})
			sx, sy := min(max(int(math.Floor(q.X)), 0), g.w-1), min(max(int(math.Floor(q.Y)), 0), g.h-1)
			p.Tints[y*p.W+x] = tint.Tint(g.pix[sy*g.w+sx])
		}
	}
	return nil
}

// whole is the map of a page that shows a whole upright picture of w x h pixels.
func (p *Page) whole(w, h int) func(paths.Point) paths.Point {
	kx, ky := float64(w)/float64(p.W), float64(h)/float64(p.H)
	return func(q paths.Point) paths.Point { return paths.Point{X: q.X * kx, Y: q.Y * ky} }
}
