package loads

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"weftplot/paths"
)

// exactBoxes is the most boxes whose fewest loads are found by search.
const exactBoxes = 16

// Divide parts boxes, in mm on the cloth, into loads: all boxes of a load lie within a
// reach of width by height mm. There are as few loads as can be for up to 16 boxes, and
// for more where the boxes stand in rows and columns; else as few as bands filled one
// after the other need, along the cloth or across it. Loads come in their order along the
// cloth, from its lower end, and within a band from left to right; the boxes of each are
// named by their numbers, rising.
//
// It returns nil where a box is larger than the reach.
func Divide(boxes []paths.Rect, width, height float64) [][]int {
	const slack = 1e-6
	for _, b := range boxes {
		if b.Width() > width+slack || b.Height() > height+slack {
			return nil
		}
	}
	d := divider{boxes, [2]float64{width + slack, height + slack}}
	best := d.bands(1)
	if other := d.bands(0); len(other) < len(best) {
		best = other
	}
	if n := len(boxes); n <= exactBoxes && len(best) > 1 {
		best = d.fewest(best)
	}
	for _, load := range best {
		slices.Sort(load)
	}
	corner := func(load []int) paths.Rect {
		all := paths.EmptyRect()
		for _, i := range load {
			all = all.Union(boxes[i])
		}
		return all
	}
	slices.SortStableFunc(best, func(a, b []int) int {
		p, q := corner(a).Min, corner(b).Min
		if math.Abs(p.Y-q.Y) > height/4 { // of another band
			return cmp.Compare(p.Y, q.Y)
		}
		return cmp.Compare(p.X, q.X)
	})
	return best
}

type divider struct {
	boxes []paths.Rect
	reach [2]float64
}

// span returns where a box begins and ends along an axis: 0 is x, 1 is y.
func (d divider) span(i, axis int) (lo, hi float64) {
	b := d.boxes[i]
	if axis == 0 {
		return b.Min.X, b.Max.X
	}
	return b.Min.Y, b.Max.Y
}

// bands fills bands along an axis, and each band with loads along the other one. Each
// begins where the first box that is left does. Along one axis no way needs fewer.
func (d divider) bands(axis int) [][]int {
	all := make([]int, len(d.boxes))
	for i := range all {
		all[i] = i
	}
	var out [][]int
	for _, band := range d.greedy(all, axis) {
		out = append(out, d.greedy(band, 1-axis)...)
	}
	return out
}

// greedy parts boxes along one axis.
func (d divider) greedy(list []int, axis int) [][]int {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b int) int {
		p, _ := d.span(a, axis)
		q, _ := d.span(b, axis)
		return cmp.Compare(p, q)
	})
	var out [][]int
	for len(list) > 0 {
		from, _ := d.span(list[0], axis)
		var in, rest []int
		for _, i := range list {
			if _, hi := d.span(i, axis); hi-from <= d.reach[axis] {
				in = append(in, i)
			} else {
				rest = append(rest, i)
			}
		}
		out, list = append(out, in), rest
	}
	return out
}

// fewest searches for fewer loads than those given: for the first box that is left it
// tries every load that holds it and begins, both ways, where some box does. Any load can
// be moved up and to the right until it does, and still holds its boxes.
func (d divider) fewest(best [][]int) [][]int {
	var windows []uint32
	for i := range d.boxes {
		for j := range d.boxes {
			x, _ := d.span(i, 0)
			y, _ := d.span(j, 1)
			if w := d.within(x, y); w != 0 && !slices.Contains(windows, w) {
				windows = append(windows, w)
			}
		}
	}
	windows = slices.DeleteFunc(slices.Clone(windows), func(w uint32) bool {
		return slices.ContainsFunc(windows, func(v uint32) bool { return v != w && v&w == w })
	})
	s := cover{windows: windows, most: len(best) - 1, failed: map[uint32]int{}}
	for s.most >= 1 && s.find(uint32(1)<<len(d.boxes)-1, s.most) {
		best = nil
		taken := uint32(0)
		for _, w := range s.taken {
			var load []int
			for i := range d.boxes {
				if w&^taken&(1<<i) != 0 {
					load = append(load, i)
				}
			}
			taken |= w
			best = append(best, load)
		}
		s.most, s.taken, s.failed = len(best)-1, nil, map[uint32]int{}
	}
	return best
}

// within returns the boxes in the load whose lower left corner is at x, y, a bit for each.
func (d divider) within(x, y float64) (w uint32) {
	for i := range d.boxes {
		left, right := d.span(i, 0)
		low, high := d.span(i, 1)
		if left >= x && low >= y && right-x <= d.reach[0] && high-y <= d.reach[1] {
			w |= 1 << i
		}
	}
	return w
}

// A cover looks for few windows that hold all boxes.
type cover struct {
	windows []uint32
	most    int
	taken   []uint32
	failed  map[uint32]int // what is left -> with so many windows it cannot be held
}

func (c *cover) find(left uint32, most int) bool {
	switch {
	case left == 0:
		return true
	case most == 0 || c.failed[left] >= most:
		return false
	}
	first := uint32(1) << bits.TrailingZeros32(left)
	for _, w := range c.windows {
		if w&first == 0 {
			continue
		}
		c.taken = append(c.taken, w)
		if c.find(left&^w, most-1) {
			return true
		}
		c.taken = c.taken[:len(c.taken)-1]
	}
	c.failed[left] = most
	return false
}
