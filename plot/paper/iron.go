package paper

import (
	"math"
	"slices"

	"weftplot/paths"
)

// A Place is where an iron is pressed: the rectangle of its sole in the frame
// "drawn".
type Place struct{ Sole paths.Rect }

// maxNeeds bounds the cells that the places of an iron must cover: finer cells waste
// less of the sole, and take longer.
const maxNeeds = 1500

// Places covers all ink with as few places of an iron's sole as the search finds, its
// sides being a and b mm, upright or lying. Exact is true where there are none
// fewer on the cells that the ink is counted in, whose side is given in mm.
//
// The places are in the order of pressing: row by row from the far edge to the near
// one, each from left to right, so that neither hand nor cord goes over what has
// just been pressed.
func Places(p Pattern, a, b float64) (places []Place, cell float64, exact bool) {
	if a > b {
		a, b = b, a
	}
	var f *field
	for parts := 24.0; ; parts *= 0.75 {
		cell = a / max(2, math.Floor(parts))
		f = newField(p, cell)
		if inked := f.count(span{0, f.nx}, span{0, f.ny}); inked <= maxNeeds || parts <= 3 {
			break
		}
	}
	c, soles := ironing(f, a, b)
	picked, exact := c.fewest(1_000_000)
	for _, i := range picked {
		places = append(places, Place{soles[i]})
	}
	return inOrder(places), f.step, exact
}

// ironing states the problem: each inked cell is to be covered, by soles that touch
// ink with their left and their lower edge; any other can be shifted to one that
// covers no less.
func ironing(f *field, a, b float64) (*cover, []paths.Rect) {
	number := map[[2]int]int{}
	var cells [][2]int
	for y := range f.ny {
		for x := range f.nx {
			if f.has(span{x, x + 1}, span{y, y + 1}) {
				number[[2]int{x, y}] = len(cells)
				cells = append(cells, [2]int{x, y})
			}
		}
	}
	var sets []set
	var soles []paths.Rect
	seen := map[string]bool{}
	for _, side := range [][2]float64{{a, b}, {b, a}} {
		w, h := int(side[0]/f.step+1e-9), int(side[1]/f.step+1e-9)
		for y := range f.ny {
			for x := range f.nx {
				sx, sy := span{x, min(x+w, f.nx)}, span{y, min(y+h, f.ny)}
				if !f.has(span{x, x + 1}, sy) || !f.has(sx, span{y, y + 1}) {
					continue
				}
				s := newSet(len(cells))
				for j := sy.from; j < sy.to; j++ {
					for i := sx.from; i < sx.to; i++ {
						if n, ok := number[[2]int{i, j}]; ok {
							s.add(n)
						}
					}
				}
				if key := s.key(); !seen[key] {
					seen[key] = true
					at := f.box.Min.Add(paths.Point{X: float64(x) * f.step, Y: float64(y) * f.step})
					sets = append(sets, s)
					soles = append(soles, centred(f, paths.Rect{Min: at, Max: at.Add(paths.Point{X: side[0], Y: side[1]})}))
				}
			}
		}
		if a == b {
			break
		}
	}
	c := newCover(len(cells), sets)
	c.near = func(i, j int) bool { return soles[i].Grow(a / 2).Overlaps(soles[j]) }
	return c, soles
}

// centred shifts a sole that reaches beyond the ink so that it reaches as far beyond
// it on both sides.
func centred(f *field, r paths.Rect) paths.Rect {
	shift := paths.Point{}
	if over := r.Max.X - f.box.Max.X; over > 0 {
		shift.X = -min(over, r.Max.X-f.box.Max.X) / 2
	}
	if over := r.Max.Y - f.box.Max.Y; over > 0 {
		shift.Y = -over / 2
	}
	return paths.Rect{Min: r.Min.Add(shift), Max: r.Max.Add(shift)}
}

// inOrder sorts places into rows from the top, by their upper edges, each from left
// to right.
func inOrder(places []Place) []Place {
	slices.SortStableFunc(places, func(a, b Place) int { return compare(b.Sole.Max.Y, a.Sole.Max.Y) })
	var out []Place
	for i := 0; i < len(places); {
		top := places[i].Sole
		j := i
		for j < len(places) && places[j].Sole.Max.Y > top.Centre().Y {
			j++
		}
		j = max(j, i+1)
		line := slices.Clone(places[i:j])
		slices.SortStableFunc(line, func(a, b Place) int { return compare(a.Sole.Min.X, b.Sole.Min.X) })
		out = append(out, line...)
		i = j
	}
	return out
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
