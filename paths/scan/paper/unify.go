package paper

import (
	"math"
	"slices"

	"weftplot/paths/scan/skeleton"
)

// mostPrint is how much darker than the whole line a piece of its print is at most.
const mostPrint = 1.12

// leastAbsorbed is what a printed line absorbs at least, as a natural logarithm.
const leastAbsorbed = 0.0135

// alike is how many lines apart are equally heavy ones.
var alike = []int{1, 2, 4, 5, 10}

// isSeen reports whether a line lies in the page over a good part of its length.
func (f *family) isSeen(line int) bool {
	if line < 0 || line >= f.lines {
		return false
	}
	n := 0
	for _, g := range f.local[line*f.lengths:][:f.lengths] {
		if g != unseen {
			n++
		}
	}
	return 5*n > f.lengths
}

// period returns how many lines apart are equally heavy ones, or 0 where that is not to be
// seen. What lines absorb is told for each.
func (f *family) period(absorbed []float64) int {
	for _, m := range alike {
		agree, all := 0, 0
		for line := range f.lines - m {
			if !f.isSeen(line) || !f.isSeen(line+m) {
				continue
			}
			all++
			if a, b := absorbed[line], absorbed[line+m]; min(a, b) > 0.75*max(a, b) {
				agree++
			}
		}
		if agree >= 3 && 10*agree > 7*all {
			return m
		}
	}
	return 0
}

// mostAlike returns how much the lines most like a line absorb, and how far apart they
// are, with the period of the lines: of those to both sides the lesser counts, since the
// other may be drawn along.
func (f *family) mostAlike(line, period int, absorbed []float64) (most float64, apart int) {
	of := func(line int) float64 {
		if !f.isSeen(line) {
			return math.Inf(1)
		}
		return absorbed[line]
	}
	for _, m := range alike {
		if period > 0 && m%period != 0 {
			continue
		}
		if a := min(of(line-m), of(line+m)); !math.IsInf(a, 1) && a > most {
			most, apart = a, m
		}
	}
	return most, apart
}

// absorbed returns how much darker than paper a grey is, as a natural logarithm.
func absorbed(grey uint8) float64 {
	return -math.Log(max(0.01, min(1, float64(grey)/skeleton.Paper)))
}

// usual returns the median of the greys of the pieces of a line, bare paper where none is
// seen.
func (f *family) usual(line int) uint8 {
	var list []uint8
	for _, g := range f.local[line*f.lengths:][:f.lengths] {
		if g != unseen {
			list = append(list, g)
		}
	}
	if len(list) == 0 {
		return skeleton.Paper
	}
	slices.Sort(list)
	return list[len(list)/2]
}

// unify gives lines that absorb much more than all those like them the profile of the
// ones most like them: somebody drew along them. It returns the lines that the side of the
// sheet may cut, which have the profile of a whole line then.
func (f *family) unify() (cut []int) {
	// The middle of a line, and all of it: what is drawn beside it makes it wide.
	middle, all := make([]float64, f.lines), make([]float64, f.lines)
	for line := range f.lines {
		for b, g := range f.profile[line*f.bins:][:f.bins] {
			a := absorbed(g)
			if all[line] += a; b == f.bins/2 {
				// A pen wider than the profile is dark at the sides of it, too.
				middle[line] = max(a, absorbed(f.usual(line)))
			}
		}
	}
	period := f.period(all)
	like := map[int]int{} // how many lines apart those are that a line gets its profile of
	for line := range f.lines {
		if !f.isSeen(line) {
			continue
		}
		for _, of := range []struct {
			absorbed []float64
			least    float64
		}{{middle, leastAbsorbed}, {all, 8 * leastAbsorbed}} {
			if most, apart := f.mostAlike(line, period, of.absorbed); most > of.least && of.absorbed[line] > 1.35*most+2*of.least {
				like[line] = apart
			}
		}
	}
	was := slices.Clone(f.profile)
	of := func(line, b int) uint8 {
		if !f.isSeen(line) {
			return 0
		}
		return was[line*f.bins+b]
	}
	for line, m := range like {
		for b := range f.bins {
			f.profile[line*f.bins+b] = max(of(line-m, b), of(line+m, b))
		}
	}
	return f.whole(all, period)
}

// Of what a whole line absorbs, one that is cut by the side of the sheet does this share at
// least, and more than leastWhole where it is whole.
const (
	leastCut   = 0.05
	leastWhole = 0.7
)

// whole gives the outermost lines to each side, up to the first that is whole, all of the
// profile of a whole line, and returns them: the side of the sheet may cut them. What a
// sheet leaves of such a line changes from place to place, so that its median is not that
// of its darkest pieces.
func (f *family) whole(absorbed []float64, period int) (cut []int) {
	if period == 0 {
		return nil
	}
	for _, in := range []int{1, -1} {
		line := 0
		if in < 0 {
			line = f.lines - 1
		}
		for whole := false; !whole; line += in {
			from := line + in*period
			if from < 0 || from >= f.lines {
				break
			}
			if !f.isSeen(from) || absorbed[line] < leastCut*absorbed[from] {
				continue
			}
			whole = absorbed[line] > leastWhole*absorbed[from]
			for b := range f.bins {
				own := &f.profile[line*f.bins+b]
				*own = min(*own, f.profile[from*f.bins+b])
			}
			cut = append(cut, line)
		}
	}
	return cut
}

// toEnds gives the piece beyond the outermost good one at each end of a line the share
// that this has: the print ends somewhere within it.
func (f *family) toEnds(print, local []uint8) {
	const good = 32
	end := func(in int) {
		i := 0
		if in < 0 {
			i = len(print) - 1
		}
		for i >= 0 && i < len(print) && (local[i] == unseen || print[i] < good) {
			i += in
		}
		if next := i + in; next >= 0 && next < len(print) && local[next] != unseen {
			print[i] = max(print[i], print[next])
		}
		if i >= 0 && i < len(print) && i-in >= 0 && i-in < len(print) {
			print[i-in] = max(print[i-in], print[i])
		}
	}
	end(1)
	end(-1)
}
