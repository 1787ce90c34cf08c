package inspect

import (
	"cmp"
	"slices"
	"sort"
)

// A segment is held against those beside it, the nearest first, until nothing that is farther
// off can tell more of it: where it is known to be close to another, only what comes closer
// can. So it makes no difference how much lies within reach.
//
// In a heap even what is nearest is too much, and tells nothing more: of a line that is drawn
// a thousand times, each time but the first is drawn over another. There a segment is held
// against others only until it is known along all of its length to be double and close.

const (
	// maxLooks bounds the looks at segments of heaps, beyond the first for each part.
	maxLooks = 1_000_000
	// fewBeside is how many entries beside a part of a segment, as long as a column is wide,
	// are no heap. There may be more where there are few parts: maxBeside for all of them.
	fewBeside = 48
	maxBeside = 2_000_000
	// firstBeside is how many are looked at before it is asked whether there is a heap, and
	// mostBeside how many more in one.
	firstBeside = 8
	mostBeside  = 64
)

// known is what is known of a segment.
type known struct {
	s       *segment
	doubled spans // but for what crosses at a flat angle
	close   spans
	isHeap  bool      // so much lies beside this part that only what tells more is kept
	parts   []overlap // scratch
}

// hold finds what earlier segments tell of that in place n of the columns, and reports whether
// nothing was left out that could make a difference.
func (p *pairing) hold(n int) bool {
	c := &p.columns
	s := &p.segs[c.ids[n]]
	k, l := &p.known, c.lie(s)
	k.s, k.doubled, k.close = s, k.doubled[:0], k.close[:0]
	p.ask()
	whole := true
	for column := c.at(l.x0); column <= c.at(l.x1); column++ {
		p.work++
		w, from, to := c.walkFrom(s, l, n, column)
		whole = p.holdPart(w, s.from+from, s.from+to) && whole
	}
	for _, t := range slices.Backward(k.close) {
		p.along = goOn(p.along, overlap{s.stroke, t.other, t.from, t.to, t.apart, t.apart}, false, 0)
	}
	return whole
}

// holdPart is hold for the part of a segment in one column, between two places along its
// stroke.
func (p *pairing) holdPart(w walk, from, to float64) bool {
	k := &p.known
	within := p.within(from, to)
	k.isHeap = false
	for n := 0; ; n++ {
		e, least := w.next()
		if e == nil || least > within {
			return true
		}
		p.work++
		if n == firstBeside {
			k.isHeap = p.isHeap(w, within)
		}
		if k.isHeap {
			if p.isTold(from, to, least) {
				return true
			}
			if n >= firstBeside+mostBeside || p.looks < 0 {
				return false
			}
			p.looks--
		}
		if w.gap(e) > within || p.seen[e.segment] == p.query {
			continue
		}
		b := poseOf(k.s, &p.segs[e.segment])
		if b.isBeyond(within) {
			continue // here; it may tell of another part
		}
		if k.isHeap && b.isNoMoreThan(p.Double) && k.doubled.cover(from, to) {
			continue
		}
		if p.meet(e.segment); p.tell(&b, e.segment) {
			within = p.within(from, to)
		}
	}
}

// isTold reports whether all of a part of the segment of a heap is known to be double and close,
// as far as what is no nearer than least can tell.
func (p *pairing) isTold(from, to, least float64) bool {
	k := &p.known
	return (least > p.Double || k.doubled.cover(from, to)) && (p.noneClose() || k.close.cover(from, to))
}

// isHeap reports whether there is so much left of a walk that may tell more that not all of it
// is looked at. Once maxLooks are spent, it takes entries that are no longer there into account.
func (p *pairing) isHeap(w walk, within float64) bool {
	left := p.few - firstBeside
	if left > 0 && w.isFewer(int32(left), within) {
		return false
	}
	if p.looks < 0 {
		return true
	}
	for range left {
		if e, least := w.next(); e == nil || least > within {
			return false
		}
		p.work++
	}
	return true
}

// noneClose reports whether nothing can be told to be close to the segment: it is of a speck,
// or what touches what cannot be looked for any more.
func (p *pairing) noneClose() bool { return p.isSpeck(p.known.s.stroke) || p.touching.steps < 0 }

// within returns how far off what tells more of a part may be.
func (p *pairing) within(from, to float64) float64 {
	k := &p.known
	if p.noneClose() {
		return p.Double + rounding
	}
	if i := k.close.of(from+rounding, to-rounding); i >= 0 {
		return k.close[i].apart + rounding // which is more than that of doubles
	}
	return p.reach() + rounding
}

// tell keeps what earlier segment j tells more than is known, and reports whether it told of
// being close.
func (p *pairing) tell(b *pose, j int32) (more bool) {
	k := &p.known
	if t, ok := p.doubleOf(b); ok {
		k.keepDouble(p, t)
	}
	if b.isNoMoreThan(p.Double) || p.noneClose() {
		return false
	}
	list, n := p.closeTo(b, p.limits[j])
	for _, t := range list[:n] {
		// What tells nothing more has no part that does; nor has what is all near a crossing.
		if !k.close.tellMore(t) || p.isNearCrossing(b, t) {
			continue
		}
		k.parts = p.touching.without(t, k.parts[:0])
		for _, t := range k.parts {
			if k.close.tellMore(t) {
				k.close.add(t.from, t.to, t.apart(), t.other)
				more = true
			}
		}
	}
	return more
}

// keepDouble keeps a double: in a heap only one that tells more.
func (k *known) keepDouble(p *pairing, t overlap) {
	level := p.Double / 2 / (1 - 2*edge)
	isLevel := t.isLevel(level)
	if !k.isHeap && len(p.double) < maxKept/16 {
		p.double = append(p.double, t)
	} else if isLevel && !k.doubled.cover(t.from, t.to) {
		p.double = goOn(p.double, t, true, level)
	}
	if isLevel {
		k.doubled.add(t.from, t.to, 0, t.other)
	}
}

// isNearCrossing reports whether an overlap lies all in the surroundings of the place where
// its segments cross, so that nothing is left without those.
func (p *pairing) isNearCrossing(b *pose, t overlap) bool {
	on, other, ok := crossing(*b.s, *b.o)
	if !ok || t.stroke == t.other && p.apart(t.stroke, b.s.from+on, b.o.from+other) < p.reach() {
		return false
	}
	width := nearby*max(p.Across, p.Along) - rounding
	return b.s.from+on-width <= t.from && t.to <= b.s.from+on+width
}

// goOn appends an overlap, or makes the last one longer where that goes on from it: so
// few are kept of many segments of a stroke, which are gone through from the last. Those
// beside different strokes stay apart when byOther is set, and so do those that are not
// level; else only the least distance is kept, and which it is from.
func goOn(list []overlap, t overlap, byOther bool, level float64) []overlap {
	n := len(list) - 1
	if n < 0 || list[n].stroke != t.stroke || byOther && list[n].other != t.other || t.to > list[n].to || t.to < list[n].from-slack {
		return append(list, t)
	}
	last := &list[n]
	if byOther {
		longer := *last
		if t.from < last.from {
			longer.from, longer.offFrom = t.from, t.offFrom
		}
		if !last.isLevel(level) || !longer.isLevel(level) {
			return append(list, t)
		}
		*last = longer
		return list
	}
	if last.from = min(last.from, t.from); isCloser(t.offFrom, t.other, last.offFrom, last.other) {
		last.other, last.offFrom, last.offTo = t.other, t.offFrom, t.offTo
	}
	return list
}

// isCloser reports whether one stroke is closer than another, or is the earlier of two as
// close.
func isCloser(apart float64, other int32, than float64, thanOther int32) bool {
	return cmp.Or(cmp.Compare(apart, than), cmp.Compare(other, thanOther)) < 0
}

// span is an interval along a stroke, and in it the least distance to another.
type span struct {
	from, to, apart float64
	other           int32
}

// spans are in ascending order and do not overlap.
type spans []span

const (
	// slack is how much may be missing between two spans, in mm, and rounding how far off what
	// is computed may be.
	slack, rounding = 1e-6, 1e-9
)

// of returns which span holds all between two values, or -1.
func (s spans) of(from, to float64) int {
	i := sort.Search(len(s), func(i int) bool { return s[i].to >= to })
	if i < len(s) && s[i].from <= from {
		return i
	}
	return -1
}

// cover reports whether all between two values, but for rounding, lies in one of the spans.
func (s spans) cover(from, to float64) bool {
	return to-from <= 2*slack || s.of(from+slack, to-slack) >= 0
}

// tellMore reports whether an overlap is close where none is known to be, or closer than any
// that is known.
func (s spans) tellMore(t overlap) bool {
	i := s.of(t.from+rounding, t.to-rounding)
	return i < 0 || isCloser(t.apart(), t.other, s[i].apart, s[i].other)
}

// add adds an interval.
func (s *spans) add(from, to, apart float64, other int32) {
	lo := sort.Search(len(*s), func(i int) bool { return (*s)[i].to >= from-slack })
	hi := lo
	t := span{from, to, apart, other}
	for hi < len(*s) && (*s)[hi].from <= to+slack {
		o := (*s)[hi]
		t.from, t.to = min(t.from, o.from), max(t.to, o.to)
		if isCloser(o.apart, o.other, t.apart, t.other) {
			t.apart, t.other = o.apart, o.other
		}
		hi++
	}
	*s = slices.Replace(*s, lo, hi, t)
}
