package inspect

import (
	"slices"
	"sort"

	"weftplot/paths"
)

// Where few segments lie near one another, each is held against every other. In a heap
// that would take the square of their number, and tell nothing more: of a line that is
// drawn a thousand times, each time but the first is drawn over the one before. So in a
// heap a segment is held against others, the latest first, only until it is known along
// all of its length what is to be told of it.

const (
	// maxLooks bounds the looks at segments, beyond the first round for each.
	maxLooks = 5_000_000
	// fewBeside is how many entries of the index a part of a segment, as long as a cell, may
	// lie beside and be held against each of them. There may be more where there are few
	// parts: maxBeside for all of them.
	fewBeside = 48
	maxBeside = 2_000_000
)

// parts returns how many parts no longer than a cell a segment has.
func (p *pairing) parts(s segment) int {
	return int(s.length/p.sectors[sectorOf(s.u)].cells.Side()) + 1
}

// around calls visit with those entries of every cell that comes within grow of a segment
// which are earlier than segment i and about parallel, ascending. They are new unless cells
// with the same entries came before.
func (p *pairing) around(s segment, i int32, grow float64, visit func(in *index, earlier []int32, isNew bool)) {
	in := &p.sectors[sectorOf(s.u)]
	p.time++
	in.alike.Along(s.a, s.b, grow, func(list int32, items []int32) {
		p.work++
		if len(items) == 0 || in.ids[items[0]] >= i {
			return
		}
		n := len(items)
		if in.ids[items[n-1]] >= i {
			n = sort.Search(n, func(k int) bool { return in.ids[items[k]] >= i })
		}
		isNew := in.read[list] != p.time
		in.read[list] = p.time
		visit(in, items[:n], isNew)
	})
}

// beside returns the earlier segments that lie near segment i and are about parallel, in
// ascending order, until the next call; few is false when there are too many of them.
func (p *pairing) beside(i int32) (list []int32, few bool) {
	s := p.segs[i]
	most := p.few * p.parts(s)
	if len(p.sectors[sectorOf(s.u)].cells.At(s.at(s.length/2))) > most {
		return nil, false
	}
	p.lists = p.lists[:0]
	p.around(s, i, p.reach(), func(_ *index, earlier []int32, isNew bool) {
		if most -= len(earlier); isNew && most >= 0 {
			p.lists = append(p.lists, earlier)
		}
	})
	if most < 0 {
		return nil, false
	}
	in, box := &p.sectors[sectorOf(s.u)], paths.RectOf(s.a, s.b).Grow(p.reach())
	list = p.near[:0]
	p.ask()
	for _, earlier := range p.lists {
		p.work += len(earlier)
		for _, k := range earlier {
			j := in.ids[k]
			if o := &p.segs[j]; p.meet(j) && box.Overlaps(paths.RectOf(o.a, o.b)) {
				list = append(list, j)
			}
		}
	}
	slices.Sort(list)
	p.near = list
	return list, true
}

// A round of looks: how far from a part of a segment, how many of the latest entries of
// each cell, and no farther from the line than what.
type round struct {
	grow   float64
	most   int
	within float64
}

// sift finds what earlier segments tell of segment i, part by part, and reports whether
// nothing was left out that could make a difference. The first round is for all that is to
// be told.
func (p *pairing) sift(i int32) bool {
	s := p.segs[i]
	k := &known{p: p, s: s, closest: p.reach()}
	doubles := []round{{p.Double, 128, p.Double}}
	along := []round{{p.reach(), 4, p.reach()}, {p.reach(), 64, p.reach()}}
	parts, whole := p.parts(s), true
	for n := range parts {
		from, to := s.length*float64(n)/float64(parts), s.length*float64(n+1)/float64(parts)
		part := s.part(from, to)
		if k.all(part) {
			continue
		}
		p.ask()
		p.look(i, part, round{0, p.first(), p.reach()}, k)
		p.ask()
		whole = p.settle(i, part, doubles, k, &k.doubled) && whole
		if !p.isSpeck(s.stroke) {
			p.ask()
			whole = p.settle(i, part, along, k, &k.covered) && whole
		}
	}
	return whole
}

// first returns how many of the latest entries of a cell a first round looks at.
func (p *pairing) first() int {
	if p.looks < 0 {
		return 4
	}
	return 16
}

// settle looks in rounds until a part of segment i is covered by what is known of it, and
// reports whether it is, or all was looked at.
func (p *pairing) settle(i int32, part segment, rounds []round, k *known, by *spans) bool {
	from, to := part.from, part.from+part.length
	for _, r := range rounds {
		if by.cover(from, to) {
			return true
		}
		if p.looks < 0 {
			return false
		}
		if p.look(i, part, r, k) {
			return true
		}
	}
	return by.cover(from, to)
}

// look is one round, and reports whether it left nothing out.
func (p *pairing) look(i int32, part segment, r round, k *known) bool {
	whole, done := true, false
	doubled := k.doubled.cover(part.from, part.from+part.length)
	p.around(part, i, r.grow, func(in *index, earlier []int32, isNew bool) {
		if done {
			return
		}
		if len(earlier) > r.most {
			whole, earlier = false, earlier[len(earlier)-r.most:]
		}
		// A list that was read is charged all the same: how many segments can be sifted does not
		// hang on whether cells happen to hold the same.
		if p.looks -= len(earlier); !isNew {
			return
		}
		p.work += len(earlier)
		for _, e := range slices.Backward(earlier) {
			j := in.ids[e]
			if !p.meet(j) {
				continue
			}
			low, high := offsets(part, p.segs[j])
			if low > r.within || high < -r.within || doubled && low >= -p.Double && high <= p.Double {
				continue // too far off, or no more than a double, which is known
			}
			k.add(j)
			doubled = k.doubled.cover(part.from, part.from+part.length)
			if done = doubled && k.all(part); done {
				return
			}
		}
	})
	return whole || done
}

// offsets returns how far the ends of a segment lie to the left of the line through
// another, the lesser first.
func offsets(s, o segment) (low, high float64) {
	a, b := s.u.Cross(o.a.Sub(s.a)), s.u.Cross(o.b.Sub(s.a))
	return min(a, b), max(a, b)
}

// known is what is known of a segment in a heap.
type known struct {
	p                *pairing
	s                segment
	doubled, covered spans
	closest          float64
	parts            []overlap // scratch
}

// all reports whether a part of the segment is known to be double and close to another.
func (k *known) all(part segment) bool {
	from, to := part.from, part.from+part.length
	return k.doubled.cover(from, to) && (k.p.isSpeck(k.s.stroke) || k.covered.cover(from, to))
}

// add holds the segment against an earlier one, and keeps what tells more of it than is
// known.
func (k *known) add(j int32) {
	level := k.p.Double / 2 / (1 - 2*edge)
	b := besides(&k.s, &k.p.segs[j])
	if t, ok := k.p.doubleOf(&b); ok && t.isLevel(level) && !k.doubled.cover(t.from, t.to) {
		k.doubled.add(t.from, t.to)
		k.p.double = goOn(k.p.double, t, true, level)
	}
	list, n := k.p.closeTo(&b, k.p.limits[j])
	for _, t := range list[:n] {
		if !k.tellsMore(t) {
			continue // and so does no part of it
		}
		k.parts = k.p.touching.without(t, k.parts[:0])
		for _, t := range k.parts {
			if k.tellsMore(t) {
				k.covered.add(t.from, t.to)
				k.closest = min(k.closest, t.apart())
				t.offFrom, t.offTo = t.apart(), t.apart()
				k.p.along = goOn(k.p.along, t, false, 0)
			}
		}
	}
}

// tellsMore reports whether the segment is close to another in an overlap where none is
// known to be, or closer than any that is known.
func (k *known) tellsMore(t overlap) bool {
	return t.apart() < k.closest || !k.covered.cover(t.from, t.to)
}

// goOn appends an overlap, or makes the last one longer where it goes on from there: so
// few are kept of many segments of a stroke. Those beside different strokes stay apart when
// byOther is set, and so do those that are not level; else only the least distance is kept.
func goOn(list []overlap, t overlap, byOther bool, level float64) []overlap {
	n := len(list) - 1
	if n < 0 || list[n].stroke != t.stroke || byOther && list[n].other != t.other || t.from < list[n].from || t.from > list[n].to+slack {
		return append(list, t)
	}
	last := &list[n]
	if byOther {
		longer := overlap{t.stroke, t.other, last.from, max(last.to, t.to), last.offFrom, last.offTo}
		if t.to > last.to {
			longer.offTo = t.offTo
		}
		if !last.isLevel(level) || !longer.isLevel(level) {
			return append(list, t)
		}
		*last = longer
		return list
	}
	last.to = max(last.to, t.to)
	last.offFrom = min(last.offFrom, t.offFrom)
	last.offTo = last.offFrom
	return list
}

// spans are intervals in ascending order that do not overlap.
type spans [][2]float64

// slack is how much may be missing between two spans, in mm: rounding.
const slack = 1e-6

// cover reports whether all between two values lies in one of the spans.
func (s spans) cover(from, to float64) bool {
	i := sort.Search(len(s), func(i int) bool { return s[i][1] >= to-slack })
	return i < len(s) && s[i][0] <= from+slack
}

// add adds an interval.
func (s *spans) add(from, to float64) {
	lo := sort.Search(len(*s), func(i int) bool { return (*s)[i][1] >= from-slack })
	hi := lo
	for hi < len(*s) && (*s)[hi][0] <= to+slack {
		from, to = min(from, (*s)[hi][0]), max(to, (*s)[hi][1])
		hi++
	}
	*s = slices.Replace(*s, lo, hi, [2]float64{from, to})
}
