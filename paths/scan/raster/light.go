package raster

import (
	"image"
	"image/color"
	"sync"

	"weftplot/paths/cores"
)

// grey is a picture as light, rows from the top.
type grey struct {
	w, h int
	pix  []uint8
}

func newGrey(w, h int) grey { return grey{w, h, make([]uint8, w*h)} }

// lightOf returns a picture as light, over white where it is transparent.
//
// A grey picture stays as it is. In a coloured one each pixel gets its darkest
// channel, after the channels are levelled so that the paper is neutral: a
// yellow pencil is nearly as bright as paper to the eye, but dark in the blue
// channel. For marks without colour any channel will do.
func lightOf(img image.Image) grey {
	b := img.Bounds()
	if src, ok := img.(*image.Gray); ok && src.Stride == b.Dx() {
		return grey{b.Dx(), b.Dy(), src.Pix[:b.Dx()*b.Dy()]}
	}
	g := newGrey(b.Dx(), b.Dy())
	row := rowsOf(img)
	level := levels(g, row)
	cores.Ranges(g.h, func(lo, hi int) {
		rgb := make([]uint8, 3*g.w)
		for y := lo; y < hi; y++ {
			row(y, rgb)
			out := g.pix[y*g.w:]
			for x := range g.w {
				out[x] = min(level[0][rgb[3*x]], level[1][rgb[3*x+1]], level[2][rgb[3*x+2]])
			}
		}
	})
	return g
}

// levels returns for each channel the map that makes the paper neutral: it
// brightens the two channels in which the paper is darker. The level of the
// paper is the one that nineteen in twenty pixels stay below.
func levels(g grey, row func(int, []uint8)) (level [3][256]uint8) {
	step := max(1, g.h/2000) // enough rows to find the paper
	rows := (g.h + step - 1) / step
	var count [3][256]int
	var lock sync.Mutex
	cores.Ranges(rows, func(lo, hi int) {
		var part [3][256]int
		rgb := make([]uint8, 3*g.w)
		for k := lo; k < hi; k++ {
			row(k*step, rgb)
			for x := 0; x < 3*g.w; x += 3 {
				part[0][rgb[x]]++
				part[1][rgb[x+1]]++
				part[2][rgb[x+2]]++
			}
		}
		lock.Lock()
		defer lock.Unlock()
		for c := range part {
			for v, n := range part[c] {
				count[c][v] += n
			}
		}
	})
	var white [3]int
	for c := range white {
		above := rows * g.w / 20
		for v := 255; v > 0; v-- {
			if above -= count[c][v]; above < 0 {
				white[c] = v
				break
			}
		}
	}
	brightest := max(white[0], white[1], white[2])
	for c := range white {
		for v := range 256 {
			level[c][v] = uint8(v)
			if white[c] > 0 {
				level[c][v] = uint8(min(255, (v*brightest+white[c]/2)/white[c]))
			}
		}
	}
	return level
}

// rowsOf returns a function that fills in a row of a picture as red, green and
// blue.
func rowsOf(img image.Image) func(y int, rgb []uint8) {
	b := img.Bounds()
	switch src := img.(type) {
	case *image.YCbCr:
		return func(y int, rgb []uint8) {
			for x := range b.Dx() {
				yi, ci := src.YOffset(b.Min.X+x, b.Min.Y+y), src.COffset(b.Min.X+x, b.Min.Y+y)
				rgb[3*x], rgb[3*x+1], rgb[3*x+2] = color.YCbCrToRGB(src.Y[yi], src.Cb[ci], src.Cr[ci])
			}
		}
	case image.RGBA64Image:
		return func(y int, rgb []uint8) {
			for x := range b.Dx() {
				c := src.RGBA64At(b.Min.X+x, b.Min.Y+y)
				through := 0xffff - uint32(c.A) // white shines through
				rgb[3*x] = uint8((uint32(c.R) + through) >> 8)
				rgb[3*x+1] = uint8((uint32(c.G) + through) >> 8)
				rgb[3*x+2] = uint8((uint32(c.B) + through) >> 8)
			}
		}
	}
	return func(y int, rgb []uint8) {
		for x := range b.Dx() {
			r, g, bl, a := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			through := 0xffff - a
			rgb[3*x], rgb[3*x+1], rgb[3*x+2] = uint8((r+through)>>8), uint8((g+through)>>8), uint8((bl+through)>>8)
		}
	}
}

// upright turns a stored picture as the value of the EXIF tag Orientation says
// (CIPA DC-008, 4.6.4): each value says on which sides the first row and the
// first column must be seen.
func upright(g grey, orientation int) grey {
	if orientation == 1 {
		return g
	}
	out := newGrey(g.w, g.h)
	if orientation >= 5 {
		out = newGrey(g.h, g.w)
	}
	for y := range out.h {
		for x := range out.w {
			sx, sy := stored(x, y, g.w, g.h, orientation)
			out.pix[y*out.w+x] = g.pix[sy*g.w+sx]
		}
	}
	return out
}

// stored returns where the pixel x, y of the upright picture is in the stored one, which
// is w x h.
func stored(x, y, w, h, orientation int) (sx, sy int) {
	switch orientation {
	case 2: // first row at the top, first column on the right
		return w - 1 - x, y
	case 3: // bottom, right
		return w - 1 - x, h - 1 - y
	case 4: // bottom, left
		return x, h - 1 - y
	case 5: // left, top
		return y, x
	case 6: // right, top
		return y, h - 1 - x
	case 7: // right, bottom
		return w - 1 - y, h - 1 - x
	case 8: // left, bottom
		return w - 1 - y, x
	}
	return x, y
}
