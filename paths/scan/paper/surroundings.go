package paper

import (
	"math"
	"slices"

	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
)

// The surroundings of a sheet are looked for in cells of cellMM. They are darker than
// darkest of the light of the sheet, wider than a line, and end in a step of leastStep
// of its light, which the shade of a lamp does not.
const (
	cellMM    = 0.5
	darkest   = 0.72
	leastStep = 0.1
	wideMM    = 4.0
	// hem is how far inside its edge the sheet is left out too: shadow and blur.
	hem = 1.0
	// mostAround is the greatest share of a picture that may be surroundings.
	mostAround = 0.75
)

// WithoutSurroundings returns a page with bare paper in place of what lies round the
// sheet and reaches the sides of the picture, a table, a hand, the black edge of a
// copy, and the share of the picture that it was. Without any it returns the page
// itself.
func WithoutSurroundings(p raster.Page) (raster.Page, float64) {
	k := max(1, int(math.Round(cellMM/p.MM)))
	small := reduced(skeleton.Plane{W: p.W, H: p.H, Pixels: p.Light}, k)
	if small.W < 40 || small.H < 40 {
		return p, 0
	}
	level := sheetLight(small)
	mm := p.MM * float64(k)
	out := around(small, level, wideMM/2/mm)
	share := 0.0
	for _, v := range out.Pixels {
		share += float64(v)
	}
	share /= float64(len(out.Pixels))
	if share == 0 || share > mostAround || !endsInStep(small, out, level, int(math.Ceil(1/mm))) {
		return p, 0
	}
	out = widened(out, hem/mm)
	fill(small, out)
	p.Light = slices.Clone(p.Light)
	for y := range p.H {
		row := min(small.H-1, y/k) * small.W
		for x := range p.W {
			if i := row + min(small.W-1, x/k); out.Pixels[i] != 0 {
				// What is nearest may be a line.
				p.Light[y*p.W+x] = max(small.Pixels[i], uint8(0.93*float64(level.Pixels[i])))
			}
		}
	}
	return p, share
}

// sheetLight returns the light of bare sheet in each cell: the surface of the second
// degree through the cells that are about as light as it, from those in the middle of
// the picture outwards.
func sheetLight(p skeleton.Plane) skeleton.Plane {
	var list []uint8
	for y := p.H / 5; y < p.H*4/5; y++ {
		list = append(list, p.Pixels[y*p.W+p.W/5:y*p.W+p.W*4/5]...)
	}
	slices.Sort(list)
	level := float64(list[len(list)*7/10])
	out := skeleton.NewPlane(p.W, p.H)
	for i := range out.Pixels {
		out.Pixels[i] = uint8(level)
	}
	for range 5 {
		var m [10][11]float64
		for i, g := range p.Pixels {
			if r := float64(g) / max(1, float64(out.Pixels[i])); r < 0.85 || r > 1.2 {
				continue
			}
			t := quadratic(i, p)
			for a := range t {
				for b := range t[:a+1] {
					m[a][b] += t[a] * t[b]
				}
				m[a][10] += t[a] * float64(g)
			}
		}
		for a := range m {
			m[a][a] += 1e-6
			for b := range a {
				m[b][a] = m[a][b]
			}
		}
		c := solved(m)
		skeleton.Bands(p.H, func(y0, y1 int) {
			for i := y0 * p.W; i < y1*p.W; i++ {
				var v float64
				for a, t := range quadratic(i, p) {
					v += c[a] * t
				}
				out.Pixels[i] = uint8(min(255, max(0.4*level, v)))
			}
		})
	}
	return out
}

// quadratic returns the terms of up to the second degree of a cell's place.
func quadratic(i int, p skeleton.Plane) [6]float64 {
	x, y := 2*float64(i%p.W)/float64(p.W)-1, 2*float64(i/p.W)/float64(p.H)-1
	return [6]float64{1, x, y, x * x, x * y, y * y}
}

// around returns the mask of the dark cells that reach the sides of the picture and
// are nowhere narrower than a disc of radius r cells, of which a part may lie beyond
// the picture.
func around(p, level skeleton.Plane, r float64) skeleton.Plane {
	pad := 2*int(r) + 3
	mask := darkCells(p, level, pad)
	core := discs(mask, r, pad)
	for i, v := range mask.Pixels {
		core.Pixels[i] &= v
	}
	seen := flooded(core)
	out := skeleton.NewPlane(p.W, p.H)
	for y := range p.H {
		copy(out.Pixels[y*p.W:][:p.W], seen.Pixels[(y+pad)*mask.W+pad:])
	}
	return out
}

// darkCells returns the mask of the dark cells, with a margin of pad cells that counts as
// dark.
func darkCells(p, level skeleton.Plane, pad int) skeleton.Plane {
	mask := skeleton.NewPlane(p.W+2*pad, p.H+2*pad)
	for i := range mask.Pixels {
		mask.Pixels[i] = 1
	}
	for y := range p.H {
		for x := range p.W {
			if i := y*p.W + x; float64(p.Pixels[i]) >= darkest*float64(level.Pixels[i]) {
				mask.Pixels[(y+pad)*mask.W+x+pad] = 0
			}
		}
	}
	return mask
}

// discs returns the cells of a mask that are covered by a disc of radius r within it.
func discs(mask skeleton.Plane, r float64, pad int) skeleton.Plane {
	d := skeleton.DistancesIn(mask)
	core := skeleton.NewPlane(mask.W, mask.H)
	edge := pad - int(r) - 1 // beyond the sides of a plane all counts as bare
	for y := range mask.H {
		for x := range mask.W {
			beyond := min(x, y, mask.W-1-x, mask.H-1-y) < edge
			if i := y*mask.W + x; beyond || d.At(i) > r {
				core.Pixels[i] = 1
			}
		}
	}
	return widened(core, r)
}

// flooded returns the cells of a mask that are connected with its first.
func flooded(mask skeleton.Plane) skeleton.Plane {
	seen := skeleton.NewPlane(mask.W, mask.H)
	todo := []int{0}
	seen.Pixels[0] = 1
	for len(todo) > 0 {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		x, y := i%mask.W, i/mask.W
		for _, n := range [4][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
			if n[0] < 0 || n[1] < 0 || n[0] >= mask.W || n[1] >= mask.H {
				continue
			}
			if j := n[1]*mask.W + n[0]; seen.Pixels[j] == 0 && mask.Pixels[j] != 0 {
				seen.Pixels[j] = 1
				todo = append(todo, j)
			}
		}
	}
	return seen
}

// widened returns a mask with all cells that are nearer to it than r.
func widened(mask skeleton.Plane, r float64) skeleton.Plane {
	// Beyond the sides of a plane all counts as bare, so it gets a margin.
	pad := int(r) + 2
	inverse := skeleton.NewPlane(mask.W+2*pad, mask.H+2*pad)
	for i := range inverse.Pixels {
		inverse.Pixels[i] = 1
	}
	for y := range mask.H {
		for x, v := range mask.Pixels[y*mask.W:][:mask.W] {
			inverse.Pixels[(y+pad)*inverse.W+x+pad] = 1 - min(1, v)
		}
	}
	d := skeleton.DistancesIn(inverse)
	out := skeleton.NewPlane(mask.W, mask.H)
	for y := range mask.H {
		for x := range mask.W {
			if d.At((y+pad)*inverse.W+x+pad) <= r {
				out.Pixels[y*mask.W+x] = 1
			}
		}
	}
	return out
}

// endsInStep reports whether light rises in a step at most of the edge of a mask: from
// a few cells inside it to as far outside.
func endsInStep(p, mask, level skeleton.Plane, far int) bool {
	far = max(2, far+1)
	steps, all := 0, 0
	for y := far; y < p.H-far; y++ {
		for x := far; x < p.W-far; x++ {
			i := y*p.W + x
			if mask.Pixels[i] == 0 {
				continue
			}
			for _, d := range [4]int{-1, 1, -p.W, p.W} {
				if mask.Pixels[i+d] != 0 {
					continue
				}
				all++
				if float64(p.Pixels[i+far*d])-float64(p.Pixels[i-(far-1)*d]) > leastStep*float64(level.Pixels[i]) {
					steps++
				}
			}
		}
	}
	return 3*steps > 2*all
}

// fill gives the cells of a mask the light of the nearest that are not in it.
func fill(p, mask skeleton.Plane) {
	var edge []int
	known := slices.Clone(mask.Pixels) // 0 where the light is known
	beside := func(i int, f func(j int)) {
		x := i % p.W
		if x > 0 {
			f(i - 1)
		}
		if x < p.W-1 {
			f(i + 1)
		}
		if i >= p.W {
			f(i - p.W)
		}
		if i < len(known)-p.W {
			f(i + p.W)
		}
	}
	for i, v := range known {
		if v == 0 {
			beside(i, func(j int) {
				if known[j] == 1 {
					known[j] = 2
					edge = append(edge, j)
				}
			})
		}
	}
	for len(edge) > 0 {
		for _, i := range edge {
			sum, n := 0, 0
			beside(i, func(j int) {
				if known[j] == 0 {
					sum, n = sum+int(p.Pixels[j]), n+1
				}
			})
			p.Pixels[i] = uint8(sum / max(1, n))
		}
		var next []int
		for _, i := range edge {
			known[i] = 0
		}
		for _, i := range edge {
			beside(i, func(j int) {
				if known[j] == 1 {
					known[j] = 2
					next = append(next, j)
				}
			})
		}
		edge = next
	}
}
