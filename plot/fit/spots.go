package fit

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"weftplot/paths"
)

// A spot is a place where a piece may end, and whose coordinates are short numbers: in
// thousandths of a mm, most of them whole tenths.
type spot struct {
	x, y int64
	size int // characters that its two numbers take

	foot  paths.Point // the place on the curve that it stands for
	chord int         // of the points of its run, the one that the foot lies on
}

// at is where the spot is, mm.
func (s spot) at() paths.Point {
	return paths.Point{X: float64(s.x) / 1000, Y: float64(s.y) / 1000}
}

// apart returns how far a spot is from a point, mm.
func (s spot) apart(p paths.Point) float64 { return s.at().Dist(p) }

// footWithin returns the foot, or where it is farther than tol the place that far towards
// it: the ends of curves may be off by more than the pieces between are judged by.
func (s spot) footWithin(tol float64) paths.Point {
	at := s.at()
	if off := at.Dist(s.foot); off > 0.999*tol {
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
	if n >= 1000 || n == 0 {
		size += len(strconv.FormatInt(n/1000, 10))
	}
	part := n % 1000
	if part == 0 {
		return size
	}
	for size += 4; part%10 == 0; part /= 10 {
		size--
	}
	return size
}

// spotAt returns the spot nearest to a point in steps of so many thousandths.
func spotAt(p paths.Point, stepX, stepY float64) spot {
	s := spot{x: int64(math.Round(p.X*1000/stepX) * stepX), y: int64(math.Round(p.Y*1000/stepY) * stepY), foot: p}
	s.size = characters(s.x) + characters(s.y)
	return s
}

// spotsBy returns the spots within slack mm of a point: the one with the shortest numbers
// first, and after it those that take longer ones and come nearer. The last is the nearest
// of all.
func spotsBy(p paths.Point, slack float64) []spot {
	var all []spot
	for _, x := range steps {
		for _, y := range steps {
			s := spotAt(p, x, y)
			if s.apart(p) <= slack || x == 1 && y == 1 {
				all = append(all, s)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b spot) int {
		return cmp.Or(cmp.Compare(a.size, b.size), cmp.Compare(a.apart(p), b.apart(p)))
	})
	out := all[:1]
	for _, s := range all[1:] {
		if s.apart(p) < out[len(out)-1].apart(p) {
			out = append(out, s)
		}
	}
	return out
}

// spotsAlong returns spots within slack mm of a chain of points, in its order: for each
// chord, of the spots of one size the nearest, and one by its far end in any case.
func spotsAlong(pts []paths.Point, slack float64) []spot {
	var out []spot
	for i, a := range pts[:len(pts)-1] {
		chord := paths.Line{A: a, B: pts[i+1]}
		first := len(out)
		for _, s := range crossed(chord) {
			if off := chord.Dist(s.at()); off <= slack {
				out = keepNearest(out, first, s, chord)
			}
		}
		if i < len(pts)-2 {
			s := spotsBy(chord.B, slack/2)[0]
			out = keepNearest(out, first, s, chord)
		}
		for k := range out[first:] {
			s := &out[first+k]
			t, _ := chord.Nearest(s.at())
			s.chord, s.foot = i, chord.At(t)
		}
	}
	return out
}

// keepNearest adds a spot to those of a chord, from first on, unless one of its size is as
// near already.
func keepNearest(out []spot, first int, s spot, chord paths.Line) []spot {
	for k, other := range out[first:] {
		if other.size == s.size {
			if chord.Dist(s.at()) < chord.Dist(other.at()) {
				out[first+k] = s
			}
			return out
		}
	}
	return append(out, s)
}

// crossed returns the spots next to a chord where it crosses a line of the grid of whole
// mm or of tenths.
func crossed(c paths.Line) []spot {
	var out []spot
	d := c.B.Sub(c.A)
	for _, step := range steps[:2] {
		for _, x := range gridLines(c.A.X, c.B.X, step) {
			p := paths.Point{X: x, Y: crossing(c.A.X, c.A.Y, d.X, d.Y, x)}
			for _, other := range steps[:2] {
				out = append(out, spotAt(p, step, other))
			}
		}
		for _, y := range gridLines(c.A.Y, c.B.Y, step) {
			p := paths.Point{X: crossing(c.A.Y, c.A.X, d.Y, d.X, y), Y: y}
			for _, other := range steps[:2] {
				out = append(out, spotAt(p, other, step))
			}
		}
	}
	return out
}

// gridLines returns where between a and b the lines of a grid are, mm, which are so many
// thousandths apart: the first few of them, as chords may be long.
func gridLines(a, b, step float64) []float64 {
	const most = 16
	var out []float64
	for k := math.Ceil(min(a, b) * 1000 / step); k*step <= max(a, b)*1000 && len(out) < most; k++ {
		out = append(out, k*step/1000)
	}
	return out
}

// crossing returns the one coordinate of a line through (a, b), in the direction (da, db),
// where the other is at; that of (a, b) where it does not change.
func crossing(a, b, da, db, at float64) float64 {
	if da == 0 {
		return b
	}
	return b + db*(at-a)/da
}
