package panels

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// Where windows lie is a question of piercing rectangles. All windows have one size, so a
// window is told by its lower left corner; a box is held by the windows whose corner lies
// in a rectangle: from the box's upper right corner less the size to its lower left corner.
// Every bit of ink must be held by some window, and as many strokes as can be should be
// held whole.
//
// Of any windows that do, each can be moved right until its left side meets the left end of
// something that it alone holds, or what the window to its left cannot hold; and up
// likewise. So it is enough to look at sides that lie where a stroke or a word begins, or
// whole steps of a window less the lap from there. A stroke is taken apart where such
// windows end; the bits, each half a lap longer at both ends, are what must be held.

// A zone is the windows that hold a box, by the numbers of their sides.
type zone struct{ x0, x1, y0, y1 int }

func (z zone) has(s site) bool { return z.x0 <= s.x && s.x <= z.x1 && z.y0 <= s.y && s.y <= z.y1 }

func (z zone) within(o zone) bool {
	return z.x0 >= o.x0 && z.x1 <= o.x1 && z.y0 >= o.y0 && z.y1 <= o.y1
}

func (z zone) apart(o zone) bool {
	return z.x0 > o.x1 || o.x0 > z.x1 || z.y0 > o.y1 || o.y0 > z.y1
}

// A site is a window, by the numbers of its left and its lower side.
type site struct{ x, y int }

// A wish is a zone with the number of strokes that would be whole in it.
type wish struct {
	zone
	strokes int
}

// A field is a drawing as windows see it.
type field struct {
	opt    Options
	xs, ys []float64    // where windows may begin
	bits   []paths.Rect // that must be held
	owners []int        // the unit of each bit
	wholes []paths.Rect // strokes that a window can hold

	must   []zone
	wishes []wish
	all    bool // every side that matters is among xs and ys
}

// Sides that are looked at each way, at most, and where there is much ink.
const (
	mostSides  = 120
	fewerSides = 56
	muchInk    = 1500 // strokes
)

func newField(units []unit, strokes []Stroke, opt Options) *field {
	f := &field{opt: opt}
	most := mostSides
	if len(units) > muchInk {
		most = fewerSides
	}
	var all, words []paths.Rect
	for _, u := range units {
		all = append(all, u.box)
		switch {
		case u.word:
			words = append(words, u.box)
		case !opt.holds(u.box):
			for _, c := range strokes[u.strokes[0]].Stroke {
				all = append(all, c.Bounds())
			}
		}
	}
	var wholeX, wholeY bool
	f.xs, wholeX = sides(all, words, opt.Width, opt.Lap, most, func(r paths.Rect) (lo, hi float64) { return r.Min.X, r.Max.X })
	f.ys, wholeY = sides(all, words, opt.Height, opt.Lap, most, func(r paths.Rect) (lo, hi float64) { return r.Min.Y, r.Max.Y })
	f.all = wholeX && wholeY
	for i, u := range units {
		if u.word {
			f.bits, f.owners = append(f.bits, u.box), append(f.owners, i)
			continue
		}
		for _, b := range f.bitsOf(strokes[u.strokes[0]].Stroke) {
			f.bits, f.owners = append(f.bits, b), append(f.owners, i)
		}
		if opt.holds(u.box) {
			f.wholes = append(f.wholes, u.box)
		}
	}
	f.number()
	return f
}

// sides returns where windows of a size may begin, rising: where boxes begin and at whole
// steps from there; or some of these, and false, where there would be more than most.
func sides(boxes, words []paths.Rect, size, lap float64, most int, of func(paths.Rect) (lo, hi float64)) ([]float64, bool) {
	first, last := math.Inf(1), math.Inf(-1)
	var starts []float64
	for _, b := range boxes {
		lo, hi := of(b)
		starts = append(starts, lo)
		first, last = min(first, lo), max(last, hi)
	}
	steps := func(starts []float64) (out []float64) {
		for _, v := range starts {
			for ; v <= last; v += size - lap {
				out = append(out, v)
			}
		}
		return distinct(out)
	}
	starts = distinct(starts)
	if (last-first)/(size-lap)*float64(len(starts)) <= 20*float64(most) {
		if out := steps(starts); len(out) <= most {
			return out, true
		}
	}
	base := steps([]float64{first})
	for _, more := range []int{0, 1} {
		base = append(base, evenly(first, last, size, lap, more)...)
	}
	rest := useful(steps(sampled(starts, 4*most)), first, last, size, lap)
	out := distinct(append(sampled(rest, max(1, most-len(base))), base...))
	for _, w := range words {
		lo, hi := of(w)
		if i, _ := slices.BinarySearch(out, hi-size-hair); i == len(out) || out[i] > lo+hair {
			out = distinct(append(out, lo))
		}
	}
	return out, false
}

// evenly returns where windows begin that cover lo to hi and overlap evenly: the fewest, or
// some more.
func evenly(lo, hi, size, lap float64, more int) []float64 {
	n := more + max(1, int(math.Ceil((hi-lo-lap)/(size-lap)-1e-9)))
	if n == 1 {
		return []float64{lo}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = lo + float64(i)*max(0, hi-lo-size)/float64(n-1)
	}
	return out
}

// useful returns those of the sides at which a window can begin where the fewest windows
// cover lo to hi; all where hardly any can.
func useful(sides []float64, lo, hi, size, lap float64) []float64 {
	n := len(evenly(lo, hi, size, lap, 0))
	var out []float64
	for _, v := range sides {
		for i := range n {
			if v >= hi-size-float64(n-1-i)*(size-lap)-hair && v <= lo+float64(i)*(size-lap)+hair {
				out = append(out, v)
				break
			}
		}
	}
	if len(out) < len(sides)/8 {
		return sides
	}
	return out
}

// sampled returns at most so many of the values, evenly.
func sampled(values []float64, most int) []float64 {
	if len(values) <= most {
		return values
	}
	out := make([]float64, most)
	for i := range out {
		out[i] = values[i*len(values)/most]
	}
	return out
}

// distinct sorts values and leaves out those that are equal but for rounding.
func distinct(values []float64) []float64 {
	slices.Sort(values)
	return slices.CompactFunc(values, func(a, b float64) bool { return math.Abs(b-a) < hair })
}

// number finds the zones, once each. A zone of a bit that holds another such is left out:
// where the other is pierced so is it.
func (f *field) number() {
	for _, b := range f.bits {
		if _, ok := f.zoneOf(b); !ok { // no side that is looked at is near enough
			f.xs, f.ys = distinct(append(f.xs, b.Min.X)), distinct(append(f.ys, b.Min.Y))
		}
	}
	strokes := map[zone]int{}
	for _, b := range f.wholes {
		if z, ok := f.zoneOf(b); ok {
			strokes[z]++
		}
	}
	for z, n := range strokes {
		f.wishes = append(f.wishes, wish{z, n})
	}
	slices.SortFunc(f.wishes, func(a, b wish) int { return compareZones(a.zone, b.zone) })
	seen := map[zone]bool{}
	for _, b := range f.bits {
		if z, ok := f.zoneOf(b); ok && !seen[z] {
			seen[z] = true
			f.must = append(f.must, z)
		}
	}
	slices.SortFunc(f.must, func(a, b zone) int {
		return cmp.Or(cmp.Compare(a.size(), b.size()), compareZones(a, b))
	})
	var kept []zone
	for _, z := range f.must {
		if !slices.ContainsFunc(kept, func(o zone) bool { return o.within(z) }) {
			kept = append(kept, z)
		}
	}
	f.must = kept
}

func (z zone) size() int { return (z.x1 - z.x0 + 1) * (z.y1 - z.y0 + 1) }

func compareZones(a, b zone) int {
	return cmp.Or(cmp.Compare(a.y1, b.y1), cmp.Compare(a.x1, b.x1), cmp.Compare(a.y0, b.y0), cmp.Compare(a.x0, b.x0))
}

// zoneOf returns the zone of a box; false where none of the windows holds it.
func (f *field) zoneOf(b paths.Rect) (zone, bool) {
	along := func(sides []float64, lo, hi, size float64) (int, int) {
		i, _ := slices.BinarySearch(sides, hi-size-hair)
		j, _ := slices.BinarySearch(sides, lo+hair)
		return i, j - 1
	}
	var z zone
	z.x0, z.x1 = along(f.xs, b.Min.X, b.Max.X, f.opt.Width)
	z.y0, z.y1 = along(f.ys, b.Min.Y, b.Max.Y, f.opt.Height)
	return z, z.x0 <= z.x1 && z.y0 <= z.y1
}

func (f *field) window(s site) paths.Rect { return f.opt.window(f.xs[s.x], f.ys[s.y]) }
