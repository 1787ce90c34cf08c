package panels

import (
	"cmp"
	"slices"

	"weftplot/paths"
)

// fewest returns as few windows as hold all bits, and whether it is sure that there is no
// way with fewer.
func (f *field) fewest() (best []site, exact bool) {
	best = f.bands(false)
	if other := f.bands(true); len(other) < len(best) {
		best = other
	}
	if other := f.evenly(); other != nil && len(other) < len(best) {
		best = other
	}
	least := f.mostApart(f.must)
	for n := least; n < len(best); n++ {
		s := search{field: f, work: searchWork}
		if s.find(f.must, n) {
			return s.taken, f.all
		}
		if s.work <= 0 {
			return best, false
		}
	}
	return best, f.all
}

// evenly returns the fewest windows that it finds in even rows and columns; nil for none.
func (f *field) evenly() (best []site) {
	all := paths.EmptyRect()
	for _, b := range f.bits {
		all = all.Union(b)
	}
	for _, more := range []site{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
		var sites []site
		for _, y := range evenly(all.Min.Y, all.Max.Y, f.opt.Height, f.opt.Lap, more.y) {
			for _, x := range evenly(all.Min.X, all.Max.X, f.opt.Width, f.opt.Lap, more.x) {
				i, _ := slices.BinarySearch(f.xs, x-hair)
				j, _ := slices.BinarySearch(f.ys, y-hair)
				sites = append(sites, site{min(i, len(f.xs)-1), min(j, len(f.ys)-1)})
			}
		}
		if sites = f.needed(sites); sites != nil && (best == nil || len(sites) < len(best)) {
			best = sites
		}
	}
	return best
}

// needed leaves out windows without which the others hold all; nil where all of them do not.
func (f *field) needed(sites []site) []site {
	hold := func(sites []site) bool {
		return !slices.ContainsFunc(f.must, func(z zone) bool { return !slices.ContainsFunc(sites, z.has) })
	}
	if !hold(sites) {
		return nil
	}
	for i := len(sites) - 1; i >= 0; i-- {
		if fewer := slices.Delete(slices.Clone(sites), i, i+1); hold(fewer) {
			sites = fewer
		}
	}
	return sites
}

// searchWork bounds the search for fewer windows, in looks at a zone.
const searchWork = 12_000_000

// bands pierces all zones in rows, or in columns, each as few times as it needs: each row
// lies as high as the lowest bit that is left lets it.
func (f *field) bands(columns bool) []site {
	turn := func(z zone) zone {
		if columns {
			return zone{z.y0, z.y1, z.x0, z.x1}
		}
		return z
	}
	left := make([]zone, len(f.must))
	for i, z := range f.must {
		left[i] = turn(z)
	}
	slices.SortFunc(left, func(a, b zone) int { return cmp.Compare(a.x1, b.x1) })
	var out []site
	for len(left) > 0 {
		y := slices.MinFunc(left, func(a, b zone) int { return cmp.Compare(a.y1, b.y1) }).y1
		last := site{x: -1, y: y}
		var rest []zone
		for _, z := range left {
			switch {
			case z.y0 > y:
				rest = append(rest, z)
			case !z.has(last):
				last.x = z.x1
				out = append(out, last)
			}
		}
		left = rest
	}
	if columns {
		for i, s := range out {
			out[i] = site{s.y, s.x}
		}
	}
	return out
}

// mostApart returns how many zones it finds of which no two have a window in common: so
// many windows are needed at least.
func (f *field) mostApart(zones []zone) int {
	most := 0
	for _, order := range []func(a, b zone) int{
		compareZones,
		func(a, b zone) int { return cmp.Or(cmp.Compare(a.x1, b.x1), cmp.Compare(a.y1, b.y1)) },
		func(a, b zone) int { return cmp.Compare(a.size(), b.size()) },
	} {
		sorted := slices.Clone(zones)
		slices.SortStableFunc(sorted, order)
		most = max(most, len(apart(sorted)))
	}
	return most
}

// apart takes zones in turn that have no window in common with one taken before.
func apart(zones []zone) []zone {
	var out []zone
	for _, z := range zones {
		if !slices.ContainsFunc(out, func(o zone) bool { return !z.apart(o) }) {
			out = append(out, z)
		}
	}
	return out
}

// A search looks for a number of windows that pierce all zones. One of them pierces the
// zone that ends lowest, and can be moved up to where that ends, and right to where one of
// those ends that it pierces.
type search struct {
	*field
	work  int
	taken []site
}

func (s *search) find(left []zone, most int) bool {
	if len(left) == 0 {
		return true
	}
	s.work -= 4 * len(left)
	if most == 0 || s.work <= 0 || len(apart(left)) > most {
		return false
	}
	low := slices.MinFunc(left, compareZones)
	var xs []int
	for _, z := range left {
		if z.y0 <= low.y1 && z.x1 >= low.x0 && z.x1 <= low.x1 {
			xs = append(xs, z.x1)
		}
	}
	slices.Sort(xs)
	xs = slices.Compact(xs)
	for _, x := range slices.Backward(xs) {
		at := site{x, low.y1}
		s.taken = append(s.taken, at)
		s.work -= len(left)
		rest := slices.DeleteFunc(slices.Clone(left), func(z zone) bool { return z.has(at) })
		if s.find(rest, most-1) {
			return true
		}
		s.taken = s.taken[:len(s.taken)-1]
	}
	return false
}
