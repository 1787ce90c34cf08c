package snap

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"weftplot/paths/weave/snap/web"

	"weftplot/paths/weave/snap/choice"
)

// A carrier carries the coordinate that is fixed on the lines of one axis. At each
// value v of the other coordinate it is a map u -> at(u, v) that never turns
// back, that takes every straight's line at v exactly into the straight's channel, and
// that is the identity far from all straights. It is continuous in both, so nothing
// tears; and as each of the two carriers moves only its own coordinate, nothing
// changes sides.
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
type carrier struct {
	row    float64 // height of a row, mm
	fade   float64 // how far beyond the outermost straight the map is the identity, mm
	base   int     // the number of the first border
	border []border
}

// border is the guides of a border between two rows, in the order of their places.
type border struct {
	guides []*guide
	// Where a coordinate lies among them is looked for first by bounds that hold at
	// every height: no guide up to i lies above most[i], and none from i on below least[i].
	most, least []float64
}

// guide is a straight as a carrier sees it: from knots in the carrier's frame to a place.
type guide struct {
	at   []knot
	mean float64
	to   float64
	part int // 1 + the number of the motif that it is a part of, or noMotif
	// How far it reaches beyond its ends, and whether it only holds its motif or the
	// room together, as long as no straight says otherwise.
	before, after float64
	only          bool
	wall          bool // it is a side of the room
}

// noMotif is the part of a guide that belongs to no motif.
const noMotif = 0

func (l *guide) lo() float64 { return l.at[0].along }
func (l *guide) hi() float64 { return l.at[len(l.at)-1].along }

func (l *guide) fixedAt(v float64) float64 { return fixedAt(l.at, v) }

const (
	rowChannels  = choice.Reach // height of a carrier's row
	fadeChannels = 8            // how far a straight's movement reaches into empty cloth
	// The parts of a motif that lie beside its straights go with them: the guides of
	// a motif with few straights reach over all of it, but so many rows at most.
	reachRows  = 12
	reachLines = 64
	// A guide that reaches beyond its straight gives way where it would press what is
	// between it and another to less than this.
	leastSlope = 0.3
)

// newCarrier returns the carrier of lines that sit in channels pitch apart and are
// crossed by channels step apart.
func newCarrier(lines []guide, pitch, step float64) *carrier {
	f := &carrier{row: rowChannels * step, fade: fadeChannels * pitch}
	if len(lines) == 0 {
		return f
	}
	sorted := make([]*guide, len(lines))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range lines {
		l := &lines[i]
		l.before, l.after = min(l.before, reachRows*f.row), min(l.after, reachRows*f.row)
		sorted[i] = l
		lo, hi = min(lo, l.lo()-l.before), max(hi, l.hi()+l.after)
	}
	slices.SortStableFunc(sorted, func(a, b *guide) int {
		return cmp.Compare(a.mean, b.mean)
	})
	first, _ := f.reach(lo, lo)
	_, last := f.reach(hi, hi)
	f.base, f.border = first, make([]border, last-first+1)
	for _, l := range sorted {
		if l.only {
			continue
		}
		a, b := f.reach(l.lo(), l.hi())
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
			if l.wall == walls {
				f.extend(l)
			}
		}
	}
	for i := range f.border {
		f.border[i].bound()
	}
	return f
}

// bound notes the bounds of the places of the guides. They are a little wide, since a
// place between two knots is rounded.
func (b *border) bound() {
	const wide = 1e-9 // mm
	n := len(b.guides)
	b.most, b.least = make([]float64, n), make([]float64, n)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, g := range b.guides {
		for _, k := range g.at {
			hi = max(hi, k.fixed+wide)
		}
		b.most[i] = hi
	}
	for i := n - 1; i >= 0; i-- {
		for _, k := range b.guides[i].at {
			lo = min(lo, k.fixed-wide)
		}
		b.least[i] = lo
	}
}

// after returns the number of the first guide that lies above u at v.
func (b *border) after(u, v float64) int {
	i := sort.Search(len(b.most), func(k int) bool { return b.most[k] > u })
	j := i
	for j < len(b.least) && j <= i+1 && b.least[j] <= u {
		j++
	}
	switch {
	case i == j:
		return i
	case i+1 < j: // several may lie on either side, and even cross
		return sort.Search(len(b.guides), func(k int) bool { return b.guides[k].fixedAt(v) > u })
	case b.guides[i].fixedAt(v) > u:
		return i
	}
	return j
}

// extend lets a guide reach over its motif, where what is there leaves room.
func (f *carrier) extend(l *guide) {
	first, last := f.reach(l.lo()-l.before, l.hi()+l.after)
	a, b := f.reach(l.lo(), l.hi())
	for i := first; i <= last; i++ {
		if !l.only && i >= a && i <= b {
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

// roomBetween reports whether what lies between two guides keeps leastSlope of its
// width.
func roomBetween(a, b *guide, v float64) bool {
	gap := b.fixedAt(v) - a.fixedAt(v)
	least := leastSlope * gap
	if a.wall || b.wall {
		least = 0
	}
	return gap > web.Joint && b.to-a.to >= least
}

// sameLevel reports whether b says nothing that a does not.
func sameLevel(a, b *guide) bool {
	if a.mean != b.mean || a.to != b.to {
		return false
	}
	for _, l := range []*guide{a, b} {
		for _, k := range l.at {
			if k.fixed != a.at[0].fixed {
				return false
			}
		}
	}
	return true
}

// reach returns the first and last border that a straight from lo to hi takes part in.
func (f *carrier) reach(lo, hi float64) (first, last int) {
	return int(math.Floor(lo / f.row)), int(math.Ceil(hi / f.row))
}

// at returns where the coordinate u is carried where the other is v.
func (f *carrier) at(u, v float64) float64 {
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
func (f *carrier) atBorder(i int, u, v float64) float64 {
	if i < 0 || i >= len(f.border) || len(f.border[i].guides) == 0 {
		return u
	}
	set := f.border[i].guides
	j := f.border[i].after(u, v)
	k := knots{f.fade, set, v}
	a, b := k.pass(j-1), k.pass(j)
	switch {
	case j > 0 && u <= a.x:
		return a.y
	case j < len(set) && u >= b.x: // leaning lines that cross
		return max(a.y, min(u, b.y))
	}
	w := k.way(a, b)
	p, q := w.at(w.t), w.at(1-w.t)
	switch {
	case u <= q.x && j == 0, u >= p.x && j == len(set):
		return u
	case j == 0:
		return hermiteCubic(q, 1, b, k.slope(q, b, j+1), u)
	case j == len(set):
		return hermiteCubic(a, k.slopeBack(j-2, a, p), p, 1, u)
	}
	switch {
	case u < p.x:
		return hermiteCubic(a, k.slopeBack(j-2, a, p), p, w.slope(a, p, q), u)
	case u <= q.x:
		return hermiteCubic(p, w.slope(a, p, q), q, w.slope(p, q, b), u)
	}
	return hermiteCubic(q, w.slope(p, q, b), b, k.slope(q, b, j+1), u)
}

// passing is a point a map passes: x goes to y.
type passing struct {
	x, y float64
	part int // as of its guide
}

// knots are the points a border's map passes at one value v.
type knots struct {
	fade float64
	set  []*guide
	v    float64
}

// pass returns the point of straight i; beyond the last one a point of the identity
// so far away that the two do not see each other.
func (k knots) pass(i int) passing {
	n := len(k.set)
	switch {
	case i < 0:
		a := k.pass(0)
		x := a.x - 100*k.reach(a, a)
		return passing{x, x, noMotif}
	case i >= n:
		a := k.pass(n - 1)
		x := a.x + 100*k.reach(a, a)
		return passing{x, x, noMotif}
	}
	return passing{k.set[i].fixedAt(k.v), k.set[i].to, k.set[i].part}
}

// reach returns how far the movements of two straights reach into empty cloth: far
// enough for the slope not to fall below a half.
func (k knots) reach(a, b passing) float64 {
	return max(k.fade, 3*math.Abs(a.y-a.x), 3*math.Abs(b.y-b.x))
}

// way is what lies between two neighbouring straights.
type way struct {
	a, b passing
	gap  float64
	// t is how far along it, as a share, the movements of the straights reach: to one
	// point after a and one before b.
	t float64
	// near is 1 for straights so close that nothing fades between them, and for those of
	// one motif, 0 for those so far apart that there is cloth at rest between.
	near float64
}

func (k knots) way(a, b passing) way {
	w := way{a: a, b: b, gap: b.x - a.x, near: 1}
	reach := k.reach(a, b)
	w.t = min(reach, w.gap/3) / w.gap
	if (a.part == noMotif || a.part != b.part) && w.gap > 3*reach {
		w.near = min(1, max(0, 2-w.gap/(3*reach)))
	}
	return w
}

// at returns the point at a share of the way: on the straight line from one straight
// to the other where they are close, on the identity where they are far apart, in
// between where they are in between.
func (w way) at(t float64) passing {
	x := w.a.x + w.gap*t
	return passing{x, x + w.near*((w.a.y-w.a.x)*(1-t)+(w.b.y-w.b.x)*t), noMotif}
}

// slope returns the slope at q, one of the two points of the way, between its neighbours.
// Where there is cloth at rest between the straights it is the slope of the identity; any
// other would swing out in the middle, the more the wider it is. The slope 1 keeps to
// Fritsch and Carlson's condition, as none of the pieces beside it is flatter than a half.
func (w way) slope(p, q, r passing) float64 {
	if w.near == 0 {
		return 1
	}
	return 1 + w.near*(butland(p, q, r)-1)
}

// slope returns the slope at b, a straight, from the point q before it and the straight
// after it, of the given number.
func (k knots) slope(q, b passing, after int) float64 {
	w := k.way(b, k.pass(after))
	return butland(q, b, w.at(w.t))
}

// slopeBack is slope the other way round.
func (k knots) slopeBack(before int, a, p passing) float64 {
	w := k.way(k.pass(before), a)
	return butland(w.at(1-w.t), a, p)
}

// butland returns the slope at the middle of three points, 0 where they do not
// rise on both sides.
func butland(a, b, c passing) float64 {
	h0, d0, h1, d1 := b.x-a.x, b.y-a.y, c.x-b.x, c.y-b.y
	if !(h0 > 0 && h1 > 0 && d0 > 0 && d1 > 0) {
		return 0
	}
	return 3 * (h0 + h1) / ((2*h1+h0)*h0/d0 + (h1+2*h0)*h1/d1)
}

// hermiteCubic returns the value at x of the cubic through a and b with the
// slopes m and n there.
func hermiteCubic(a passing, m float64, b passing, n, x float64) float64 {
	h := b.x - a.x
	if !(h > 0) {
		return a.y
	}
	t := (x - a.x) / h
	s := 1 - t
	return a.y*(1+2*t)*s*s + m*h*t*s*s + b.y*(3-2*t)*t*t - n*h*s*t*t
}
