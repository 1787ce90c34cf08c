package join

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// A carrier is a straight line, or a circle, on which parts lie to within
// rounding. Places on it are numbers: mm along a line, radians round a circle.
type carrier struct {
	founder paths.Curve
	circle  bool
	members []stretch // longest first
	at      []float64 // the ends of all members, ascending, each once
	next    []int32   // by cell between two of them: itself, or a later one if it is taken
}

// A stretch is where a part lies on its carrier.
type stretch struct {
	part   int
	lo, hi float64 // hi may go past the whole turn
	back   bool    // the part runs from hi to lo
}

type carrierKey struct {
	circle  bool
	a, b, c int64
}

// onCarriers returns by part what is left of it when what lies on a longer part
// of the same line or circle is taken away. All of one carrier are done by one
// union of intervals, in O(n log n) time for n parts however they overlap.
// Parts that are near one another without lying on one line are left to
// [overlapping]. Nothing is left of those that are gone.
func onCarriers(parts []part, rank []int, gone []bool, tol float64) [][]part {
	rest := make([][]part, len(parts))
	hair := max(1e-9, min(tol, rounding))
	carriers := map[carrierKey]*carrier{}
	var list []*carrier
	for _, i := range rank {
		if gone[i] {
			continue
		}
		rest[i] = parts[i : i+1 : i+1]
		key, ok := keyOf(parts[i].Curve)
		if !ok {
			continue
		}
		c := carriers[key]
		if c == nil {
			c = &carrier{founder: parts[i].Curve, circle: key.circle}
			carriers[key] = c
			list = append(list, c)
		}
		if s, ok := c.place(parts[i].Curve, hair); ok {
			s.part = i
			c.members = append(c.members, s)
		}
	}
	for _, c := range list {
		if len(c.members) < 2 {
			continue
		}
		c.divide()
		for _, s := range c.members {
			rest[s.part] = c.take(s, parts[s.part], tol)
		}
	}
	return rest
}

// keyOf returns what parts on one carrier have in common.
func keyOf(c paths.Curve) (carrierKey, bool) {
	whole := func(v, unit float64) int64 { return int64(math.Round(v / unit)) }
	const angle, place = 1e-7, 1e-5
	switch c := c.(type) {
	case paths.Line:
		u := direction(c)
		if u == (paths.Point{}) {
			return carrierKey{}, false
		}
		return carrierKey{a: whole(u.Angle(), angle), b: whole(u.Cross(c.A), place)}, true
	case paths.Arc:
		if c.Sweep == 0 || !(c.Radius() > 1e-9) {
			return carrierKey{}, false
		}
		return carrierKey{true, whole(c.Centre.X, place), whole(c.Centre.Y, place), whole(c.Radius(), place)}, true
	}
	return carrierKey{}, false
}

// direction returns the unit vector along a line, the one of both that points
// to the right; zero for a line without length.
func direction(l paths.Line) paths.Point {
	d := l.B.Sub(l.A)
	if !(d.Len() > 1e-9) {
		return paths.Point{}
	}
	if d.X < 0 || d.X == 0 && d.Y < 0 {
		d = d.Mul(-1)
	}
	return d.Unit()
}

// place returns where a curve lies on the carrier, unless it is off it by more
// than hair.
func (c *carrier) place(curve paths.Curve, hair float64) (stretch, bool) {
	switch curve := curve.(type) {
	case paths.Line:
		f := c.founder.(paths.Line)
		u := direction(f)
		for _, p := range []paths.Point{curve.A, curve.B} {
			if math.Abs(u.Cross(p.Sub(f.A))) > hair {
				return stretch{}, false
			}
		}
		lo, hi := u.Dot(curve.A.Sub(f.A)), u.Dot(curve.B.Sub(f.A))
		if lo > hi {
			return stretch{lo: hi, hi: lo, back: true}, true
		}
		return stretch{lo: lo, hi: hi}, true
	case paths.Arc:
		f := c.founder.(paths.Arc)
		if curve.Centre.Dist(f.Centre)+math.Abs(curve.Radius()-f.Radius()) > hair {
			return stretch{}, false
		}
		from := curve.From
		if curve.Sweep < 0 {
			from = curve.To
		}
		lo := from.Sub(curve.Centre).Angle()
		if lo < 0 {
			lo += 2 * math.Pi
		}
		return stretch{lo: lo, hi: lo + min(2*math.Pi, math.Abs(curve.Sweep)), back: curve.Sweep < 0}, true
	}
	panic("join: no carrier holds such a curve")
}

// divide cuts the carrier at the ends of its members.
func (c *carrier) divide() {
	if c.circle {
		c.at = append(c.at, 0, 2*math.Pi)
	}
	for _, s := range c.members {
		c.at = append(c.at, s.lo)
		if c.circle && s.hi > 2*math.Pi {
			c.at = append(c.at, s.hi-2*math.Pi)
		} else {
			c.at = append(c.at, s.hi)
		}
	}
	slices.Sort(c.at)
	c.at = slices.Compact(c.at)
	c.next = make([]int32, len(c.at))
	for i := range c.next {
		c.next[i] = int32(i)
	}
}

// free returns the first cell from k on that is not taken; the last number is
// that of no cell and always free.
func (c *carrier) free(k int) int {
	i := int32(k)
	for c.next[i] != i {
		c.next[i] = c.next[c.next[i]]
		i = c.next[i]
	}
	return int(i)
}

// take takes all of a stretch, and returns what of its part was free.
func (c *carrier) take(s stretch, p part, tol float64) []part {
	var free [][2]float64
	if c.circle && s.hi > 2*math.Pi {
		free = c.takeBetween(free, s.lo, 2*math.Pi, 0)
		free = c.takeBetween(free, 0, s.hi-2*math.Pi, 2*math.Pi)
	} else {
		free = c.takeBetween(free, s.lo, s.hi, 0)
	}
	scale := p.Length() / (s.hi - s.lo)
	// What is taken already, but for what is too short to count as an overlap.
	var taken [][2]float64
	at := s.lo
	for _, f := range append(free, [2]float64{s.hi, s.hi}) {
		if (f[0]-at)*scale > max(tol/2, 1e-9) {
			taken = append(taken, [2]float64{(at - s.lo) / (s.hi - s.lo), (f[0] - s.lo) / (s.hi - s.lo)})
		}
		at = f[1]
	}
	if s.back {
		slices.Reverse(taken)
		for i, t := range taken {
			taken[i] = [2]float64{1 - t[1], 1 - t[0]}
		}
	}
	return without(p, taken, tol)
}

// takeBetween takes the cells from lo to hi, and appends the stretches that were
// free, shifted; one that goes on from the last is one with it.
func (c *carrier) takeBetween(free [][2]float64, lo, hi, shift float64) [][2]float64 {
	index := func(v float64) int {
		i, _ := slices.BinarySearchFunc(c.at, v, func(a, b float64) int { return cmp.Compare(a, b) })
		return i
	}
	end := index(hi)
	for k := c.free(index(lo)); k < end; k = c.free(k) {
		from := k
		for ; k < end && c.next[k] == int32(k); k++ {
			c.next[k] = int32(k + 1)
		}
		if n := len(free); n > 0 && free[n-1][1] == c.at[from]+shift {
			free[n-1][1] = c.at[k] + shift
		} else {
			free = append(free, [2]float64{c.at[from] + shift, c.at[k] + shift})
		}
	}
	return free
}
