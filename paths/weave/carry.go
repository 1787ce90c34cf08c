package weave

import (
	"math"
	"slices"
	"sort"
)

// A field carries the coordinate that is fixed on the lines of one axis. At each
// value v of the other coordinate it is a map u -> at(u, v) that never turns
// back, that takes every run's line at v exactly into the run's channel, and
// that is the identity far from all runs. It is continuous in both, so nothing
// tears; and as each of the two fields moves only its own coordinate, nothing
// changes sides.
//
// The other coordinate is cut into rows. At each border between two rows stands
// a monotone cubic map through all runs that come within a row's height of it,
// with the slopes of Fritsch and Butland (SIAM J. Sci. Stat. Comput. 5 (1984)
// 300-304), which keep Fritsch and Carlson's condition for monotonicity (SIAM J.
// Numer. Anal. 17 (1980) 238-246) from three neighbours alone. Between two
// borders the map is a mean of the two, its weights a smooth step: a mean of
// maps that do not turn back does not turn back, and where a run passes both
// maps agree on it.
type field struct {
	row    float64 // height of a row, mm
	fade   float64 // how far beyond the outermost run the map is the identity, mm
	base   int     // the number of the first border
	border [][]*line
}

// line is a run as a field sees it: from knots in the field's frame to a place.
type line struct {
	at   []knot
	mean float64
	to   float64
}

func (l *line) fixedAt(v float64) float64 { return fixedAt(l.at, v) }

const (
	rowChannels  = 4 // height of a field's row
	fadeChannels = 8 // how far a run's movement reaches into empty cloth
)

// newField returns the field of lines that sit in channels pitch apart and are
// crossed by channels step apart.
func newField(lines []line, pitch, step float64) *field {
	f := &field{row: rowChannels * step, fade: fadeChannels * pitch}
	if len(lines) == 0 {
		return f
	}
	sorted := make([]*line, len(lines))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range lines {
		l := &lines[i]
		sorted[i] = l
		lo, hi = min(lo, l.at[0].runs), max(hi, l.at[len(l.at)-1].runs)
	}
	slices.SortStableFunc(sorted, func(a, b *line) int {
		switch {
		case a.mean < b.mean:
			return -1
		case a.mean > b.mean:
			return 1
		}
		return 0
	})
	first, _ := f.reach(lo, lo)
	_, last := f.reach(hi, hi)
	f.base, f.border = first, make([][]*line, last-first+1)
	for _, l := range sorted {
		a, b := f.reach(l.at[0].runs, l.at[len(l.at)-1].runs)
		for i := a; i <= b; i++ {
			set := &f.border[i-f.base]
			if n := len(*set); n > 0 && sameLevel((*set)[n-1], l) {
				continue
			}
			*set = append(*set, l)
		}
	}
	return f
}

// sameLevel reports whether b says nothing that a does not.
func sameLevel(a, b *line) bool {
	if a.mean != b.mean || a.to != b.to {
		return false
	}
	for _, l := range []*line{a, b} {
		for _, k := range l.at {
			if k.fixed != a.at[0].fixed {
				return false
			}
		}
	}
	return true
}

// reach returns the first and last border that a run from lo to hi takes part in.
func (f *field) reach(lo, hi float64) (first, last int) {
	return int(math.Floor(lo / f.row)), int(math.Ceil(hi / f.row))
}

// at returns where the coordinate u is carried where the other is v.
func (f *field) at(u, v float64) float64 {
	q := math.Floor(v / f.row)
	t := v/f.row - q
	t = t * t * (3 - 2*t)
	i := int(q) - f.base
	a, b := f.atBorder(i, u, v), u
	if t > 0 {
		b = f.atBorder(i+1, u, v)
	}
	if a == b {
		return a
	}
	return a + (b-a)*t
}

// atBorder evaluates the map of one border.
func (f *field) atBorder(i int, u, v float64) float64 {
	if i < 0 || i >= len(f.border) || len(f.border[i]) == 0 {
		return u
	}
	set := f.border[i]
	j := sort.Search(len(set), func(k int) bool { return set[k].fixedAt(v) > u })
	k := knots{f, set, v}
	x0, y0 := k.at(j - 1)
	x1, y1 := k.at(j)
	switch {
	case u <= x0 && j == 0, u >= x1 && j == len(set):
		return u
	case u <= x0:
		return y0
	}
	if x1 <= u { // beyond the last knot, or where leaning lines cross
		return max(y0, min(u, y1))
	}
	return hermiteCubic(x0, y0, k.slope(j-1), x1, y1, k.slope(j), u)
}

// knots are the points a border's map passes, with one more at each end where
// the identity takes over.
type knots struct {
	*field
	set []*line
	v   float64
}

func (k knots) at(i int) (x, y float64) {
	n := len(k.set)
	switch {
	case i < -1:
		x, y = k.at(-1)
		return x - k.fade, y - k.fade
	case i > n:
		x, y = k.at(n)
		return x + k.fade, y + k.fade
	case i == -1:
		x, y = k.at(0)
		x -= max(k.fade, 3*math.Abs(y-x))
		return x, x
	case i == n:
		x, y = k.at(n - 1)
		x += max(k.fade, 3*math.Abs(y-x))
		return x, x
	}
	return k.set[i].fixedAt(k.v), k.set[i].to
}

// slope returns the slope at knot i, 1 at the ends.
func (k knots) slope(i int) float64 {
	if i < 0 || i >= len(k.set) {
		return 1
	}
	x0, y0 := k.at(i - 1)
	x1, y1 := k.at(i)
	x2, y2 := k.at(i + 1)
	return butland(x1-x0, y1-y0, x2-x1, y2-y1)
}

// butland returns the slope at the middle of three points, 0 where the data do
// not rise on both sides.
func butland(h0, d0, h1, d1 float64) float64 {
	if h0 <= 0 || h1 <= 0 || d0 <= 0 || d1 <= 0 {
		return 0
	}
	return 3 * (h0 + h1) / ((2*h1+h0)*h0/d0 + (h1+2*h0)*h1/d1)
}

// hermiteCubic returns the value at x of the cubic through two points with the
// given slopes.
func hermiteCubic(x0, y0, m0, x1, y1, m1, x float64) float64 {
	h := x1 - x0
	t := (x - x0) / h
	s := 1 - t
	return y0*(1+2*t)*s*s + m0*h*t*s*s + y1*(3-2*t)*t*t - m1*h*s*t*t
}
