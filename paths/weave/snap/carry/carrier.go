package carry

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"weftplot/paths/weave/snap/choice"
)

// A Carrier moves one coordinate: the one that is constant along the lines of an axis. At
// each value v of the other coordinate it is a monotone map u -> At(u, v). The map takes
// every guide at v exactly to the guide's place, and is the identity far from all guides.
// It is continuous in u and v, so nothing tears. Each of the two carriers moves only its
// own coordinate, so nothing changes sides.
//
// The other coordinate is cut into rows. At each border between two rows stands
// a monotone cubic map through all straights that come within a row's height of it,
// with the slopes of Fritsch and Butland (SIAM J. Sci. Stat. Comput. 5 (1984)
// 300-304), which keep Fritsch and Carlson's condition for monotonicity (SIAM J.
// Numer. Anal. 17 (1980) 238-246) from three neighbours alone. Two more knots
// between two straights let their movements fade into wide empty cloth. Between two
// borders the map is a mean of the two, its weights a smooth step: a mean of
// maps that do not turn back does not turn back, and where a straight passes both
// maps agree on it.
type Carrier struct {
	row    float64 // height of a row, mm
	fade   float64 // how far beyond the outermost straight the map is the identity, mm
	base   int     // the number of the first border
	border []border
}

const (
	rowChannels  = choice.Reach // height of a carrier's row
	fadeChannels = 8            // how far a straight's movement reaches into empty cloth
	// reachRows is over how many rows a guide reaches beyond its straight at most.
	reachRows = 12
	// A guide that reaches beyond its straight gives way where it would press what is
	// between it and another to less than this.
	leastSlope = 0.3
)

// ReachLines is how many straights a motif may have for its guides to reach over all of
// it: the parts that lie beside its straights go with them.
const ReachLines = 64

// New returns the carrier of lines that sit in channels pitch apart and are
// crossed by channels step apart.
func New(lines []Guide, pitch, step float64) *Carrier {
	f := &Carrier{row: rowChannels * step, fade: fadeChannels * pitch}
	if len(lines) == 0 {
		return f
	}
	sorted := make([]*Guide, len(lines))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range lines {
		l := &lines[i]
		l.Before, l.After = min(l.Before, reachRows*f.row), min(l.After, reachRows*f.row)
		sorted[i] = l
		lo, hi = min(lo, l.Lo()-l.Before), max(hi, l.Hi()+l.After)
	}
	slices.SortStableFunc(sorted, func(a, b *Guide) int {
		return cmp.Compare(a.Mean, b.Mean)
	})
	first, _ := f.reach(lo, lo)
	_, last := f.reach(hi, hi)
	f.base, f.border = first, make([]border, last-first+1)
	for _, l := range sorted {
		if l.Only {
			continue
		}
		a, b := f.reach(l.Lo(), l.Hi())
		for i := a; i <= b; i++ {
			set := &f.border[i-f.base].guides
			if n := len(*set); n > 0 && sameLevel((*set)[n-1], l) {
				continue
			}
			*set = append(*set, l)
		}
	}
	for _, walls := range []bool{false, true} {
		for _, l := range sorted {
			if l.Wall == walls {
				f.extend(l)
			}
		}
	}
	for i := range f.border {
		f.border[i].bound()
		f.border[i].divide(f.fade)
	}
	return f
}

// extend lets a guide reach over its motif, where what is there leaves room.
func (f *Carrier) extend(l *Guide) {
	first, last := f.reach(l.Lo()-l.Before, l.Hi()+l.After)
	a, b := f.reach(l.Lo(), l.Hi())
	for i := first; i <= last; i++ {
		if !l.Only && i >= a && i <= b {
			continue
		}
		v := float64(i) * f.row
		set := &f.border[i-f.base].guides
		x := l.fixedAt(v)
		j := sort.Search(len(*set), func(k int) bool { return (*set)[k].fixedAt(v) > x })
		fits := true
		for _, v := range []float64{v - f.row, v, v + f.row} { // wherever the border counts
			fits = fits && (j == 0 || roomBetween((*set)[j-1], l, v)) && (j == len(*set) || roomBetween(l, (*set)[j], v))
		}
		if fits {
			*set = slices.Insert(*set, j, l)
		}
	}
}

// reach returns the first and last border that a straight from lo to hi takes part in.
func (f *Carrier) reach(lo, hi float64) (first, last int) {
	return int(math.Floor(lo / f.row)), int(math.Ceil(hi / f.row))
}

// IsStill reports that the carrier moves nothing, as it has no guides.
func (f *Carrier) IsStill() bool { return len(f.border) == 0 }

// At returns where the coordinate u is carried where the other is v.
func (f *Carrier) At(u, v float64) float64 {
	q := math.Floor(v / f.row)
	t := v/f.row - q
	t = t * t * (3 - 2*t)
	i := int(q) - f.base
	below, above := f.borderAt(i), f.borderAt(i+1)
	j := below.after(u, v)
	a := below.at(f.fade, j, u, v)
	if t <= 0 {
		return a
	}
	k := above.after(u, v)
	if below.isLike(j, above, k) {
		return a
	}
	b := above.at(f.fade, k, u, v)
	if a == b {
		return a
	}
	return a + (b-a)*t
}

// borderAt returns a border by its number among those of the carrier, or one without guides.
func (f *Carrier) borderAt(i int) *border {
	if i < 0 || i >= len(f.border) {
		return &noBorder
	}
	return &f.border[i]
}

var noBorder border
