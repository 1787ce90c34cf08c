package raster

import (
	"math"

	"weftplot/paths/fault"
)

// reduced returns g with each k x k pixels averaged into one; incomplete groups
// at the right and the bottom are averaged over what they have.
func reduced(g grey, k int) grey {
	if k <= 1 {
		return g
	}
	out := newGrey((g.w+k-1)/k, (g.h+k-1)/k)
	sum := make([]int, out.w)
	for y := range out.h {
		clear(sum)
		y1 := min(g.h, (y+1)*k)
		for sy := y * k; sy < y1; sy++ {
			for sx, v := range g.pix[sy*g.w : (sy+1)*g.w] {
				sum[sx/k] += int(v)
			}
		}
		for x, s := range sum {
			n := (y1 - y*k) * (min(g.w, (x+1)*k) - x*k)
			out.pix[y*out.w+x] = uint8((s + n/2) / n)
		}
	}
	return out
}

// squared returns g with square pixels. x and y are in proportion to the pixels
// an inch across and down; the coarser direction is stretched to the finer.
func squared(name string, g grey, x, y float64) (grey, error) {
	if k := max(x, y) / min(x, y); float64(len(g.pix))*k > maxPixels {
		return g, fault.Bad(name, "scan at one resolution both ways",
			"the pixels are %.3g times as long as wide, and with square ones the picture is more than is read", k)
	}
	switch {
	case x == y:
		return g, nil
	case x > y:
		return stretched(g, max(1, int(math.Round(float64(g.h)*x/y)))), nil
	}
	return transposed(stretched(transposed(g), max(1, int(math.Round(float64(g.w)*y/x))))), nil
}

// stretched returns g with h rows, more than it has, each a mean of the two it
// lies between.
func stretched(g grey, h int) grey {
	out := newGrey(g.w, h)
	for y := range h {
		at := (float64(y)+0.5)*float64(g.h)/float64(h) - 0.5
		at = min(max(at, 0), float64(g.h-1))
		y0 := int(at)
		y1 := min(y0+1, g.h-1)
		k := int(math.Round((at - float64(y0)) * 256))
		a, b := g.pix[y0*g.w:], g.pix[y1*g.w:]
		row := out.pix[y*g.w : (y+1)*g.w]
		for x := range row {
			row[x] = uint8((int(a[x])*(256-k) + int(b[x])*k + 128) / 256)
		}
	}
	return out
}

func transposed(g grey) grey { return upright(g, 5) }
