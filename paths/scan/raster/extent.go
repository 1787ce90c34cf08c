package raster

import (
	"slices"
)

// inkExtent returns the leftmost and rightmost column of the drawing, in
// pixels, and whether there is one. It is a first guess, good to a line's
// width: it counts marks darker than what is around them, in pieces larger than
// specks. What touches the edge of the picture is taken for the edge of the
// sheet.
func inkExtent(g grey) (left, right float64, ok bool) {
	k := max(1, max(g.w, g.h)/1200)
	small := reduced(g, k)
	dark := darkness(small)
	sorted := slices.Clone(dark)
	slices.Sort(sorted)
	threshold := max(20, sorted[len(sorted)*997/1000]*2/5)
	mask := make([]bool, len(dark))
	for i, d := range dark {
		mask[i] = d >= threshold
	}
	x0, x1 := small.w, -1
	speck := max(small.w, small.h) / 60
	for _, c := range components(mask, small.w, small.h) {
		b := c.box
		if b.Dx() < speck && b.Dy() < speck || b.Min.X == 0 || b.Min.Y == 0 || b.Max.X == small.w || b.Max.Y == small.h {
			continue
		}
		x0, x1 = min(x0, b.Min.X), max(x1, b.Max.X)
	}
	if x1-x0 < speck {
		return 0, 0, false
	}
	return float64(x0 * k), float64(min(g.w, x1*k)), true
}

// darkness returns how much darker each pixel is than the paper about it, in
// 256ths of the paper's light. The light of the paper is the level that four
// fifths of a cell stay below, for the brightest of a cell and its neighbours.
func darkness(g grey) []int {
	cell := max(8, max(g.w, g.h)/30)
	cw, ch := (g.w+cell-1)/cell, (g.h+cell-1)/cell
	light := make([]int, cw*ch)
	for cy := range ch {
		for cx := range cw {
			var count [256]int
			n := 0
			for y := cy * cell; y < min(g.h, (cy+1)*cell); y++ {
				for x := cx * cell; x < min(g.w, (cx+1)*cell); x++ {
					count[g.pix[y*g.w+x]]++
					n++
				}
			}
			for v, above := 255, n/5; v >= 0; v-- {
				if above -= count[v]; above < 0 {
					light[cy*cw+cx] = v
					break
				}
			}
		}
	}
	out := make([]int, len(g.pix))
	for y := range g.h {
		for x := range g.w {
			paper := 1
			for cy := max(0, y/cell-1); cy <= min(ch-1, y/cell+1); cy++ {
				for cx := max(0, x/cell-1); cx <= min(cw-1, x/cell+1); cx++ {
					paper = max(paper, light[cy*cw+cx])
				}
			}
			i := y*g.w + x
			out[i] = max(0, 256-int(g.pix[i])*256/paper)
		}
	}
	return out
}
