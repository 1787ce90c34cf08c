package fit

import (
	"math"

	"weftplot/paths"
)

// A spot is a place where a piece may end, and whose coordinates are short numbers: in
// thousandths of a mm, most of them whole tenths.
type spot struct {
	x, y int64
	size int // characters that its two numbers take

	foot  paths.Point // the place on the curve that it stands for
	chord int         // of the points of its run, the one that the foot lies on
	aside float64     // how far off it is, on the left, mm
	costs float64     // its characters, and what being off costs
}

// at is where the spot is, mm.
func (s spot) at() paths.Point {
	return paths.Point{X: float64(s.x) / 1000, Y: float64(s.y) / 1000}
}

// footWithin returns the foot, or where it is farther than tol the place that far towards
// it: the ends of curves may be off by more than the pieces between are judged by.
func (s spot) footWithin(tol float64) paths.Point {
	at := s.at()
	if by := s.foot.Sub(at); by.Dot(by) > 0.998*tol*tol {
		off := by.Len()
		return at.Lerp(s.foot, 0.999*tol/off)
	}
	return s.foot
}

// steps are those of numbers with no decimals, one, two and three, in thousandths.
var steps = [...]float64{1000, 100, 10, 1}

// characters returns how many characters n thousandths take as a number: its sign and its
// point count, and no zeros are written after the last decimal or before the point.
func characters(n int64) int {
	size := 0
	if n < 0 {
		n, size = -n, 1
	}
	whole, part := n/1000, n%1000
	switch {
	case part == 0 && whole == 0:
		return 1
	case part == 0:
	case part%100 == 0:
		size += 2
	case part%10 == 0:
		size += 3
	default:
		size += 4
	}
	for ; whole > 0; whole /= 10 {
		size++
	}
	return size
}

// spotsBy returns the spots within slack mm of a point: the one with the shortest numbers
// first, and after it those that take longer ones and come nearer. The last is the nearest
// of all.
func spotsBy(p paths.Point, slack float64) []spot {
	var found [len(steps) * len(steps)]struct {
		spot
		apart float64 // squared
	}
	n := 0
	for _, stepX := range steps {
		x := math.Round(p.X*1000/stepX) * stepX
		sizeX, offX := characters(int64(x)), x/1000-p.X
		for _, stepY := range steps {
			y := math.Round(p.Y*1000/stepY) * stepY
			offY := y/1000 - p.Y
			apart := offX*offX + offY*offY
			if apart > slack*slack && (stepX > 1 || stepY > 1) {
				continue
			}
			s := spot{x: int64(x), y: int64(y), size: sizeX + characters(int64(y)), foot: p}
			i := n
			for ; i > 0 && (found[i-1].size > s.size || found[i-1].size == s.size && found[i-1].apart > apart); i-- {
				found[i] = found[i-1]
			}
			found[i].spot, found[i].apart = s, apart
			n++
		}
	}
	out, least := make([]spot, 0, 4), math.Inf(1)
	for _, f := range found[:n] {
		if f.apart < least {
			out, least = append(out, f.spot), f.apart
		}
	}
	return out
}

// spotsBeside adds the spots of the chord number k. Where it crosses the lines of tenths of
// a mm across its main direction, of which a long one passes some by, it has up to three: at
// a whole mm of the other coordinate, at a tenth, and nearer where that is far; and where
// there are none, one by its far end.
func (s *search) spotsBeside(k int) {
	const most = 16 // lines
	from := len(s.spots)
	a, b := s.pts[k], s.pts[k+1]
	d := b.Sub(a)
	length := math.Sqrt(d.Dot(d))
	if length == 0 {
		return
	}
	u := d.Mul(1 / length)
	upright := math.Abs(u.Y) > math.Abs(u.X)
	m0, m1, o0, slope, cos := a.X, b.X, a.Y, u.Y/u.X, math.Abs(u.X)
	if upright {
		m0, m1, o0, slope, cos = a.Y, b.Y, a.X, u.X/u.Y, math.Abs(u.Y)
	}
	low, high := min(m0, m1), max(m0, m1)
	step := 100.0
	lo, hi := math.Ceil(low*10), math.Floor(high*10)
	for m := 0; hi-lo > most; m++ {
		step *= [...]float64{2, 2.5, 2}[m%3] // 1, 2, 5, 10 tenths and so on
		lo, hi = math.Ceil(low*1000/step), math.Floor(high*1000/step)
	}
	slack := s.slack * 1000 / cos
	for n := lo; n <= hi; n++ { // the lines across it
		main := n * step
		other := (o0 + slope*(main/1000-m0)) * 1000
		for _, st := range steps[:3] {
			near := math.Round(other/st) * st
			if math.Abs(near-other) > slack {
				continue
			}
			p := spot{x: int64(main), y: int64(near), chord: k}
			if upright {
				p.x, p.y = p.y, p.x
			}
			s.add(p, a, u, length)
			if st < 1000 && math.Abs(near-other) <= slack*0.7 {
				break
			}
		}
	}
	if len(s.spots) == from {
		p := spot{x: fewestBy(b.X, s.slack/2), y: fewestBy(b.Y, s.slack/2), chord: k}
		s.add(p, a, u, length)
	}
	s.of[k] = [2]int32{int32(from), int32(len(s.spots))}
}

// add adds a spot that lies within the slack of the chord from a in the direction u; what it
// costs is told with it.
func (s *search) add(p spot, a, u paths.Point, length float64) {
	rel := p.at().Sub(a)
	along := rel.Dot(u)
	p.aside = u.Cross(rel)
	off2 := p.aside * p.aside
	if along < 0 || along > length {
		over := max(-along, along-length)
		off2 += over * over
		along = max(0, min(length, along))
	}
	if off2 > s.slack*s.slack {
		return
	}
	p.foot = a.Add(u.Mul(along))
	p.size = characters(p.x) + characters(p.y)
	p.costs = float64(p.size) + beside*off2/(s.slack*s.slack)
	s.spots = append(s.spots, p)
}

// fewestBy returns v in thousandths with the fewest decimals that keep it within slack.
func fewestBy(v, slack float64) int64 {
	for _, step := range steps {
		if n := math.Round(v*1000/step) * step; math.Abs(n/1000-v) <= slack || step == 1 {
			return int64(n)
		}
	}
	return 0
}
