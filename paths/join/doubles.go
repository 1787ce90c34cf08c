package join

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// withoutDoubles returns by part what is left of it when everything that lies on
// another is taken away. Longer parts stay whole and shorter ones give way, so
// that no part is cut by what lies inside it. Only parts that are shorter than
// their tolerance, or loosened, are not what they were.
func withoutDoubles(parts []part, tol float64, w *work) ([][]part, error) {
	rank := byLength(parts)
	rest := onCarriers(parts, rank, identical(parts, rank), tol)
	var pieces []part // what is left so far, of the longest parts first
	var owner []int
	for _, i := range rank {
		for _, p := range rest[i] {
			pieces, owner = append(pieces, p), append(owner, i)
		}
		rest[i] = nil
	}
	left, err := overlapping(pieces, owner, tol, w)
	if err != nil {
		return nil, err
	}
	for k, i := range owner {
		rest[i] = append(rest[i], left[k]...)
	}
	return rest, nil
}

// byLength returns the numbers of the parts, longest first.
func byLength(parts []part) []int {
	rank := make([]int, len(parts))
	for i := range rank {
		rank[i] = i
	}
	slices.SortStableFunc(rank, func(a, b int) int {
		return cmp.Compare(parts[b].to-parts[b].from, parts[a].to-parts[a].from)
	})
	return rank
}

// overlapping returns what is left of each piece when all is taken away that lies on what
// is left of an earlier one. Where two lie on one another, an end of the shorter is on the
// longer, so that asking about the ends finds every pair. Pieces of one owner do not lie on
// one another. A piece that lies on a single one is gone, and nothing is held against it; where
// very many are in one place, neither against those that several took away ([crowds]).
func overlapping(pieces []part, owner []int, tol float64, w *work) (left [][]part, err error) {
	d := newDoubles(pieces, owner, tol)
	forecast, counted := newForecast(w), 0
	for i := range pieces {
		w.part(i, len(pieces))
		if err := w.upTo(d.crowds.counted(), &counted); err != nil {
			return nil, err
		}
		if err := forecast.check(i, len(pieces), func(k int) int { return d.least(k, i) }); err != nil {
			return nil, err
		}
		if err := d.take(i, w); err != nil {
			return nil, err
		}
	}
	return d.crowds.left, nil
}

// doubles finds the pieces that others lie on.
type doubles struct {
	pieces      []part
	owner       []int
	tol         float64
	gone, whole []bool // by piece, once it is known: it is gone, nothing of it is taken away
	crowds      *crowds
	over        []int // those that the piece looked at last lies on somewhere
}

func newDoubles(pieces []part, owner []int, tol float64) *doubles {
	n := len(pieces)
	gone, left := make([]bool, n), make([][]part, n)
	return &doubles{pieces: pieces, owner: owner, tol: tol, gone: gone, whole: make([]bool, n),
		crowds: newCrowds(pieces, gone, left, max(tol, 1e-9))}
}

// take finds what is left of piece i, those before it being done.
func (d *doubles) take(i int, w *work) (err error) {
	left := d.crowds.left
	if d.gone[i], err = d.find(i, d.crowds.at, func(int) error { return w.do(1) }); err != nil || d.gone[i] {
		return err
	}
	left[i], d.whole[i] = d.pieces[i:i+1:i+1], len(d.over) == 0
	slices.Sort(d.over)
	for _, j := range slices.Compact(d.over) {
		if err := w.do(len(left[i]) * len(left[j])); err != nil {
			return err
		}
		left[i] = minus(left[i], left[j], d.tol)
	}
	d.crowds.twins.add(i)
	return nil
}

// find finds the earlier pieces that piece i lies on somewhere, or that it is gone. It
// looks at those that at tells of for each of its ends, ascending, and has each counted.
func (d *doubles) find(i int, at func(i int, end bool) []int, count func(j int) error) (gone bool, err error) {
	d.over = d.over[:0]
	for _, end := range []bool{false, true} {
		for _, j := range at(i, end) {
			if err := count(j); err != nil {
				return false, err
			}
			if j >= i || gone {
				break
			}
			if d.gone[j] || d.owner[j] == d.owner[i] {
				continue
			}
			// Twice half the tolerance is as far as all may come to lie.
			if isAll(covered(d.pieces[i].Curve, d.pieces[j].Curve, d.tol/2)) {
				gone = true
				continue
			}
			switch c := covered(d.pieces[i].Curve, d.pieces[j].Curve, d.tol); {
			case isAll(c) && d.whole[j]:
				gone = true
			case len(c) > 0:
				d.over = append(d.over, j)
			}
		}
	}
	return gone, nil
}

// least returns how many looks piece k will take at least when it comes, where those before
// done are done: they are looked at first then, and stay as they are. What is then taken away
// from it piece by piece is left out, since one that comes between may do so at once.
func (d *doubles) least(k, done int) (looks int) {
	at := func(k int, end bool) []int {
		if end { // one that comes between may do away with it first
			return nil
		}
		return d.crowds.known(k, done, end)
	}
	count := func(j int) error {
		if len(d.crowds.left[j]) > 0 { // where very many are near, the others are not looked at
			looks++
		}
		return nil
	}
	_, _ = d.find(k, at, count) // the error is that of count
	return looks
}

// isAll reports that all of a curve is covered.
func isAll(c [][2]float64) bool { return len(c) == 1 && c[0] == [2]float64{0, 1} }

// identical marks the parts that are exactly some part of higher rank, in
// either direction.
func identical(parts []part, rank []int) []bool {
	gone := make([]bool, len(parts))
	seen := make(map[paths.Curve]struct{}, len(parts))
	for _, i := range rank {
		before := len(seen)
		seen[oneWay(parts[i].Curve)] = struct{}{}
		gone[i] = len(seen) == before
	}
	return gone
}

// oneWay returns a curve in the one of its two directions that it has in common with its
// reverse.
func oneWay(c paths.Curve) paths.Curve {
	way := comparePoints(c.Start(), c.End())
	if way == 0 {
		switch c := c.(type) {
		case paths.Arc:
			way = cmp.Compare(0, c.Sweep)
		case paths.Cubic:
			way = comparePoints(c.B, c.C)
		}
	}
	if way > 0 {
		return c.Reverse()
	}
	return c
}

func comparePoints(a, b paths.Point) int {
	return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
}

// minus returns the parts with everything taken away that lies on one of the
// others.
func minus(parts, others []part, tol float64) []part {
	for _, o := range others {
		var rest []part
		for _, p := range parts {
			rest = append(rest, minusOne(p, o.Curve, tol)...)
		}
		parts = rest
	}
	return parts
}

func minusOne(p part, c paths.Curve, tol float64) []part {
	return without(p, covered(p.Curve, c, tol), tol)
}

// without returns what is left of a part without the stretches taken, which
// are given by its parameters and ascend.
func without(p part, taken [][2]float64, tol float64) []part {
	if len(taken) == 0 {
		return []part{p}
	}
	var rest []part
	least := max(tol, 1e-9) / p.Length() // shorter remains are within tol of what covers
	at := 0.
	for _, iv := range append(taken, [2]float64{1, 1}) {
		if iv[0]-at > least {
			rest = append(rest, p.between(at, iv[0], true))
		}
		at = max(at, iv[1])
	}
	return rest
}

// loosened returns the parts, those of one stroke one after the other, with their ends
// marked loose where the stroke they came from no longer goes on.
func loosened(parts []part) []part {
	for i := 0; i < len(parts); {
		j := i + 1
		for j < len(parts) && parts[j].stroke == parts[i].stroke {
			j++
		}
		count := make(map[paths.Point]int, j-i+1)
		for _, p := range parts[i:j] {
			count[p.Start()]++
			count[p.End()]++
		}
		for k := range parts[i:j] {
			p := &parts[i+k]
			p.looseStart = p.looseStart || count[p.Start()] == 1
			p.looseEnd = p.looseEnd || count[p.End()] == 1
		}
		i = j
	}
	return parts
}

// covered returns the stretches of c, in ascending parameters, that lie on d.
// Only lines on lines and arcs on arcs can lie on one another in part.
func covered(c, d paths.Curve, tol float64) [][2]float64 {
	switch c := c.(type) {
	case paths.Line:
		if d, ok := d.(paths.Line); ok {
			return coveredLine(c, d, tol)
		}
	case paths.Arc:
		if d, ok := d.(paths.Arc); ok {
			return coveredArc(c, d, tol)
		}
	case paths.Cubic:
		if d, ok := d.(paths.Cubic); ok && (sameCubic(c, d, tol) || sameCubic(c, d.Reverse().(paths.Cubic), tol)) {
			return [][2]float64{{0, 1}}
		}
	}
	return nil
}

func sameCubic(c, d paths.Cubic, tol float64) bool {
	return c.A.Dist(d.A) <= tol && c.B.Dist(d.B) <= tol && c.C.Dist(d.C) <= tol && c.D.Dist(d.D) <= tol
}

// slack is how far two lines that lie on one another may part over a length:
// near a crossing any two lines are close.
const slack = 0.02

func coveredLine(c, d paths.Line, tol float64) [][2]float64 {
	dir := c.B.Sub(c.A)
	l := dir.Len()
	u := dir.Mul(1 / l)
	along := func(p paths.Point) float64 { return p.Sub(c.A).Dot(u) / l }
	side := func(p paths.Point) float64 { return u.Cross(p.Sub(c.A)) }
	ta, tb, sa, sb := along(d.A), along(d.B), side(d.A), side(d.B)
	if ta > tb {
		ta, tb, sa, sb = tb, ta, sb, sa
	}
	lo, hi := max(0, ta), min(1, tb)
	if (hi-lo)*l <= max(tol/2, 1e-9) {
		return nil
	}
	at := func(t float64) float64 { return sa + (sb-sa)*(t-ta)/(tb-ta) }
	a, b := at(lo), at(hi)
	if max(math.Abs(a), math.Abs(b)) > max(tol, 1e-9) || math.Abs(a-b) > slack*(hi-lo)*l+1e-9 {
		return nil
	}
	return [][2]float64{{lo, hi}}
}

func coveredArc(c, d paths.Arc, tol float64) [][2]float64 {
	reach := max(tol, 1e-9)
	apart := c.Centre.Dist(d.Centre) + math.Abs(c.Radius()-d.Radius())
	if apart > 2*reach || c.Sweep == 0 {
		// Shallow arcs of one curve may have centres that differ more; those are
		// left alone.
		return nil
	}
	// The stretch of d as an interval of turns from the start of c.
	lo, w := d.From.Sub(d.Centre).Angle(), d.Sweep
	if w < 0 {
		lo, w = lo+w, -w
	}
	from := c.From.Sub(c.Centre).Angle()
	full := math.Abs(c.Sweep)
	if c.Sweep > 0 {
		lo -= from
	} else {
		lo = from - lo - w
	}
	lo = math.Mod(math.Mod(lo, 2*math.Pi)+2*math.Pi, 2*math.Pi)
	length := c.Length()
	var out [][2]float64
	for _, shift := range []float64{-2 * math.Pi, 0} {
		a, b := max(0, (lo+shift)/full), min(1, (lo+shift+w)/full)
		if (b-a)*length <= max(tol/2, 1e-9) || apart > reach-1e-9 && !isNear(c, a, b, d, reach) {
			continue
		}
		if n := len(out); n > 0 && (a-out[n-1][1])*length <= 1e-9 {
			out[n-1][1] = b // round and on over the seam of d
			continue
		}
		out = append(out, [2]float64{a, b})
	}
	return out
}

// isNear reports whether an arc is within reach of the circle of another between two
// parameters, as five of its points tell.
func isNear(c paths.Arc, a, b float64, d paths.Arc, reach float64) bool {
	for k := range 5 {
		p := c.At(a + (b-a)*float64(k)/4)
		if math.Abs(p.Dist(d.Centre)-d.Radius()) > reach {
			return false
		}
	}
	return true
}
