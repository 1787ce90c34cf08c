package inspect

import (
	"math"
	"slices"

	"weftplot/paths"
)

// overlap is a part of a stroke that runs along another line.
type overlap struct {
	stroke, other  int32
	from, to       float64 // along the stroke
	offFrom, offTo float64 // of the other to the left, at both ends
}

// pairing looks at pairs of segments that run along one another.
type pairing struct {
	*drawing
	touching touching
	isSpeck  func(stroke int32) bool // what is close within a speck is not told
	double   []overlap
	along    []overlap // but for what is near touches; both offsets of each are its least distance

	sectors []int8  // by segment: that of its direction; -1 for a dot
	width   float64 // of columns
	columns columns // of the sector that is gone through
	known   known
	limits  []float64 // by segment: how close lines may run along it
	few     int       // how many segments beside a part of one are not a heap
	looks   int       // that may still be taken
}

// twisted is how far from parallel the chords of one line drawn twice may be, as a curve is
// flattened at other places each time.
const twisted = 8 * math.Pi / 180

// columnEntries is how many entries of columns few long segments may have.
const columnEntries = 400_000

func (f *drawing) newPairing(isSpeck func(stroke int32) bool) *pairing {
	p := &pairing{drawing: f, touching: newTouching(f), isSpeck: isSpeck, looks: maxLooks}
	p.limits, p.sectors = make([]float64, len(f.segs)), make([]int8, len(f.segs))
	total := 0.
	for i, s := range f.segs {
		p.limits[i] = f.limit(s.u.Left()) * (1 - 1e-9)
		p.sectors[i] = -1
		if s.length > 0 {
			total += s.length
			p.sectors[i] = int8(sectorOf(s.u))
		}
	}
	p.width = max(f.reach(), total/max(4*float64(len(f.segs)), columnEntries))
	parts := 1.
	for _, s := range f.segs {
		parts += s.length/p.width + 1
	}
	p.few = max(fewBeside, int(maxBeside/parts))
	return p
}

// besides appends the segments of a sector and of those on both sides of it to a list, and
// reports whether there is one of the sector itself.
func (p *pairing) besides(sector int, list []int32) (ids []int32, any bool) {
	k := int8(sector)
	before, after := (k+sectors-1)%sectors, (k+1)%sectors
	for i, o := range p.sectors {
		if o == k || o == before || o == after {
			list, any = append(list, int32(i)), any || o == k
		}
	}
	return list, any
}

// maxKept bounds the overlaps that are kept.
const maxKept = 1_000_000

// all finds what runs along what, and reports whether every pair was looked at that could
// make a difference.
func (p *pairing) all() bool {
	whole := true
	var ids []int32
	for sector := range sectors {
		var any bool
		if ids, any = p.besides(sector, ids[:0]); any {
			p.columns.set(p.drawing, sector, ids, p.width)
			whole = p.allOf(int8(sector)) && whole
		}
	}
	return whole && p.touching.steps >= 0
}

// allOf is all for the segments of the sector that the columns are of. It goes from the last
// segment to the first, and takes each out of the columns, so that those before it are left.
func (p *pairing) allOf(sector int8) bool {
	whole := true
	c := &p.columns
	for n, i := range slices.Backward(c.ids) {
		if p.sectors[i] == sector {
			if len(p.along)+len(p.double) > maxKept {
				return false
			}
			whole = p.hold(n) && whole
		}
		c.remove(n)
	}
	return whole
}

// cosCrooked and cosTwisted are the cosines of those angles.
var cosCrooked, cosTwisted = math.Cos(crooked), math.Cos(twisted)

// doubleOf returns where a segment and an earlier one are double.
func (p *pairing) doubleOf(b *pose) (overlap, bool) {
	if math.Abs(b.cos) < cosTwisted {
		return overlap{}, false
	}
	return b.within(-p.Double, p.Double)
}

// closeTo returns where a segment is close to an earlier one, within limit to the left and to
// the right of that, but for what is near on one stroke because it is near along it; and how
// many such parts there are.
func (p *pairing) closeTo(b *pose, limit float64) (list [2]overlap, n int) {
	if math.Abs(b.cos) < cosCrooked || p.isSpeck(b.s.stroke) {
		return list, 0
	}
	for _, side := range [2][2]float64{{p.Double, limit}, {-limit, -p.Double}} {
		t, ok := b.within(side[0], side[1])
		if ok && b.s.stroke == b.o.stroke {
			t, ok = p.apartAlong(t, *b.s, *b.o, nearby*limit)
		}
		if ok {
			list[n] = t
			n++
		}
	}
	return list, n
}

// nearby is how many times the room of a row of loops lines are taken to be close
// because they meet.
const nearby = 4

// pose is how a segment lies beside an earlier one: x is along that, y to the left of it,
// both at the start and at the end of the segment.
type pose struct {
	s, o           *segment
	cos            float64 // of the angle between their directions
	x0, x1, y0, y1 float64
}

func poseOf(s, o *segment) pose {
	from, to := s.a.Sub(o.a), s.b.Sub(o.a)
	return pose{s, o, s.u.Dot(o.u), from.Dot(o.u), to.Dot(o.u), o.u.Cross(from), o.u.Cross(to)}
}

// isBeyond reports whether all of the segment lies farther than a distance to one side of the
// line through the earlier one.
func (b *pose) isBeyond(d float64) bool { return b.y0 > d && b.y1 > d || b.y0 < -d && b.y1 < -d }

// isNoMoreThan reports whether all of the segment lies within a distance of that line.
func (b *pose) isNoMoreThan(d float64) bool { return max(math.Abs(b.y0), math.Abs(b.y1)) <= d }

// within returns the part of the segment from which the foot of the perpendicular on the
// earlier one is on that, and which lies between least and most to the left of it.
func (b *pose) within(least, most float64) (overlap, bool) {
	if b.y0 > most && b.y1 > most || b.y0 < least && b.y1 < least || b.x0 < 0 && b.x1 < 0 || b.x0 > b.o.length && b.x1 > b.o.length {
		return overlap{}, false
	}
	lo, hi := between(0, 1, b.x0, b.x1, 0, b.o.length)
	lo, hi = between(lo, hi, b.y0, b.y1, least, most)
	if (hi-lo)*b.s.length <= 1e-9 {
		return overlap{}, false
	}
	// To the left of the earlier one is, seen the other way round, that to the right.
	side := -1.
	if b.cos < 0 {
		side = 1
	}
	off := func(t float64) float64 { return side * (b.y0 + t*(b.y1-b.y0)) }
	return overlap{b.s.stroke, b.o.stroke, b.s.from + lo*b.s.length, b.s.from + hi*b.s.length, off(lo), off(hi)}, true
}

// between narrows the interval from lo to hi of a parameter to where a value
// that goes from v0 at 0 to v1 at 1 lies between least and most.
func between(lo, hi, v0, v1, least, most float64) (float64, float64) {
	d := v1 - v0
	if d == 0 {
		if v0 < least || v0 > most {
			return lo, lo
		}
		return lo, hi
	}
	a, b := (least-v0)/d, (most-v0)/d
	if a > b {
		a, b = b, a
	}
	return max(lo, a), min(hi, b)
}

// apartAlong narrows the part of a stroke beside itself to where the two places
// are farther apart along it than by least.
func (p *pairing) apartAlong(t overlap, s, o segment, least float64) (overlap, bool) {
	apart := func(at float64) float64 {
		foot := s.at(at - s.from).Sub(o.a).Dot(o.u)
		return at - o.from - foot // s comes after o
	}
	most := math.Inf(1)
	if p.closed[s.stroke] {
		most = p.length[s.stroke] - least
	}
	lo, hi := between(0, 1, apart(t.from), apart(t.to), least, most)
	if !(hi-lo > 1e-9) {
		return t, false
	}
	l, off := t.to-t.from, t.offTo-t.offFrom
	t.from, t.to, t.offFrom, t.offTo = t.from+lo*l, t.from+hi*l, t.offFrom+lo*off, t.offFrom+hi*off
	return t, true
}

// distance returns the least distance of two segments, and how far along each
// it is.
func distance(s, o segment) (d, on, other float64) {
	if x, y, ok := crossing(s, o); ok {
		return 0, x, y
	}
	d = math.Inf(1)
	try := func(p paths.Point, of segment, at float64, swap bool) {
		foot := min(of.length, max(0, p.Sub(of.a).Dot(of.u)))
		if dist := p.Dist(of.at(foot)); dist < d {
			d, on, other = dist, at, foot
			if swap {
				on, other = foot, at
			}
		}
	}
	try(s.a, o, 0, false)
	try(s.b, o, s.length, false)
	try(o.a, s, 0, true)
	try(o.b, s, o.length, true)
	return d, on, other
}

// crossing returns how far along each two segments cross.
func crossing(s, o segment) (on, other float64, ok bool) {
	k := s.u.Cross(o.u)
	if k == 0 {
		return 0, 0, false
	}
	d := o.a.Sub(s.a)
	on, other = d.Cross(o.u)/k, d.Cross(s.u)/k
	return on, other, 0 <= on && on <= s.length && 0 <= other && other <= o.length
}
