package raster

import "image"

// component is a set of pixels that touch, corners included.
type component struct {
	box   image.Rectangle
	count int
	first int // one of its pixels
}

// components returns the pieces of a mask of w x h pixels, from the top.
func components(mask []bool, w, h int) []component {
	seen := make([]bool, len(mask))
	var out []component
	for i, in := range mask {
		if in && !seen[i] {
			c := component{first: i}
			flood(mask, seen, w, h, i, func(x, y int) {
				c.count++
				c.box = c.box.Union(image.Rect(x, y, x+1, y+1))
			})
			out = append(out, c)
		}
	}
	return out
}

// flood visits each pixel of the piece of a mask that holds pixel from, and
// marks it as seen.
func flood(mask, seen []bool, w, h, from int, visit func(x, y int)) {
	seen[from] = true
	todo := []int{from}
	for len(todo) > 0 {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		x, y := i%w, i/w
		visit(x, y)
		for ny := max(0, y-1); ny <= min(h-1, y+1); ny++ {
			for nx := max(0, x-1); nx <= min(w-1, x+1); nx++ {
				if j := ny*w + nx; mask[j] && !seen[j] {
					seen[j] = true
					todo = append(todo, j)
				}
			}
		}
	}
}
