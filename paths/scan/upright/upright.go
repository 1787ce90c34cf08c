// Package upright tells how a drawing is turned on its sheet, and squares the lines that
// are nearly upright or level. Strokes are in mm.
package upright

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/near"
)

const (
	degree = math.Pi / 180
	// longMM is the least length of a line that is used to find how the drawing
	// is turned.
	longMM = 8.0
	// mostTurn is the greatest turn that is taken as accidental.
	mostTurn = 15 * degree
	// nearAxis is how far a line may be off an axis to be squared.
	nearAxis = 0.8 * degree
	// squareMM is the least length of a line that is squared.
	squareMM = 3.0
)

// Turn returns by how much a drawing is turned against the sides of its sheet, in
// radians counter-clockwise, by its long straight lines; where none agree, by the long
// sides drawn by hand. ok is false where neither do. Strokes are in mm.
func Turn(strokes []paths.Stroke) (angle float64, ok bool) {
	if angle, ok = skew(strokes); ok {
		return angle, ok
	}
	return skewByHand(strokes)
}

// skew returns the angle at which most of the length of long lines lies, beyond
// whole quarters of a turn. ok is false where they do not agree.
func skew(strokes []paths.Stroke) (angle float64, ok bool) {
	var lines []heading
	var whole float64
	for _, s := range strokes {
		for _, c := range s {
			whole += c.Length()
			if l, is := c.(paths.Line); is && l.Length() >= longMM {
				if h, near := headingOf(l); near {
					lines = append(lines, h)
				}
			}
		}
	}
	angle, sum, _ := agreed(lines, degree)
	return angle, sum > 0.1*whole
}

// heading is how far a line is off an axis, and its length.
type heading struct{ angle, length float64 }

// headingOf returns the heading of a line. near is false where it is too far off for an
// accident.
func headingOf(l paths.Line) (h heading, near bool) {
	a := l.B.Sub(l.A).Angle()
	a -= math.Round(a/(math.Pi/2)) * math.Pi / 2
	return heading{a, l.Length()}, math.Abs(a) <= mostTurn
}

// agreed returns the mean of the angle about which most of the length lies to within
// some tolerance, that length, and how many lines it is of.
func agreed(lines []heading, within float64) (angle, length float64, n int) {
	agreeing := func(a float64) (sum, moment float64, n int) {
		for _, l := range lines {
			if math.Abs(l.angle-a) < within {
				sum, moment, n = sum+l.length, moment+l.length*l.angle, n+1
			}
		}
		return sum, moment, n
	}
	for _, l := range lines {
		if sum, moment, count := agreeing(l.angle); sum > length {
			length, angle, n = sum, moment/sum, count
		}
	}
	for range 3 {
		if sum, moment, _ := agreeing(angle); sum > 0 {
			angle = moment / sum
		}
	}
	return angle, length, n
}

const (
	// sideMM is the least length of a side drawn by hand that shows how the drawing
	// is turned.
	sideMM = 30.0
	// A side strays from its straight line by no more than strayShare of its length,
	// or strayMM. A circle has no such side unless its radius is over 250 mm.
	strayShare, strayMM = 0.015, 0.3
	// handTurn is how far two sides drawn by hand may disagree.
	handTurn = 1.5 * degree
)

// skewByHand is skew for long sides that are nearly straight as a whole. One side may
// slant on purpose: ok is false unless two agree.
func skewByHand(strokes []paths.Stroke) (angle float64, ok bool) {
	var lines []heading
	var whole float64
	for _, s := range strokes {
		whole += s.Length()
		lines = append(lines, longSides(s.Flatten(0.05))...)
	}
	angle, length, n := agreed(lines, handTurn)
	return angle, n > 1 && length > 0.1*whole
}

// longSides returns the headings of the long sides of a line through places. It parts them
// where they are farthest off (Douglas and Peucker, "Algorithms for the reduction of
// the number of points required to represent a digitized line", The Canadian
// Cartographer 10 (1973)).
func longSides(pts []paths.Point) []heading {
	if len(pts) < 2 {
		return nil
	}
	chord := paths.Line{A: pts[0], B: pts[len(pts)-1]}
	far, at := 0.0, 0
	for i, p := range pts {
		if _, d := near.On(chord, p); d > far {
			far, at = d, i
		}
	}
	if far > max(strayMM, strayShare*chord.Length()) {
		return append(longSides(pts[:at+1]), longSides(pts[at:])...)
	}
	if h, near := headingOf(chord); near && h.length >= sideMM {
		return []heading{h}
	}
	return nil
}

// Square makes lines that are nearly parallel to an axis exactly so. It carries
// along what joins them: the other pieces of their strokes, and strokes that
// end on them.
func Square(strokes []paths.Stroke) {
	holds := heldEnds(strokes)
	before := make([]paths.Stroke, len(strokes))
	copy(before, strokes)
	for i, s := range strokes {
		strokes[i] = squared(s)
	}
	for _, h := range holds {
		moved := h.place(strokes).Sub(h.place(before))
		strokes[h.stroke] = h.pull(strokes[h.stroke], moved)
	}
}

// squared returns a stroke with its nearly upright or level lines made exactly
// so.
func squared(s paths.Stroke) paths.Stroke {
	n := len(s) + 1
	v := make([]paths.Point, n) // the joints
	v[0] = s.Start()
	for i, c := range s {
		v[i+1] = c.End()
	}
	xs, ys := near.NewSets(n), near.NewSets(n)
	if s.IsClosed() {
		xs.Join(0, n-1)
		ys.Join(0, n-1)
	}
	moved := false
	for i, c := range s {
		l, ok := c.(paths.Line)
		if !ok || l.Length() < squareMM {
			continue
		}
		d := l.B.Sub(l.A)
		switch {
		case math.Abs(d.Y) < math.Tan(nearAxis)*math.Abs(d.X):
			ys.Join(i, i+1)
			moved = true
		case math.Abs(d.X) < math.Tan(nearAxis)*math.Abs(d.Y):
			xs.Join(i, i+1)
			moved = true
		}
	}
	if !moved {
		return s
	}
	x := means(xs, func(i int) float64 { return v[i].X })
	y := means(ys, func(i int) float64 { return v[i].Y })
	out := make(paths.Stroke, len(s))
	for i, c := range s {
		out[i] = paths.Spanned(c, paths.Point{X: x[i], Y: y[i]}, paths.Point{X: x[i+1], Y: y[i+1]})
	}
	return out
}

// means returns for each joint the mean of a coordinate over the joints that
// must share it.
func means(sets *near.Sets, of func(int) float64) []float64 {
	n := sets.Len()
	sum, count := make([]float64, n), make([]float64, n)
	for i := range n {
		sum[sets.Find(i)] += of(i)
		count[sets.Find(i)]++
	}
	out := make([]float64, n)
	for i := range n {
		out[i] = sum[sets.Find(i)] / count[sets.Find(i)]
	}
	return out
}

// hold is the end of a stroke that lies on another.
type hold struct {
	stroke int
	last   bool // the end, not the start
	on     int  // the other stroke, its curve, and the parameter there
	curve  int
	t      float64
}

// holdMM is how near to a line an end counts as lying on it, in mm.
const holdMM = 0.15

// heldEnds finds the ends of open strokes that lie on other strokes.
func heldEnds(strokes []paths.Stroke) []hold {
	var out []hold
	boxes := make([]paths.Rect, len(strokes))
	for i, s := range strokes {
		boxes[i] = s.Bounds().Grow(holdMM)
	}
	for i, s := range strokes {
		if s.IsClosed() || s.IsDot() {
			continue
		}
		for _, last := range []bool{false, true} {
			p := s.Start()
			if last {
				p = s.End()
			}
			best, h := holdMM, hold{stroke: i, last: last, on: -1}
			for j, o := range strokes {
				if j == i || !boxes[j].Contains(p) {
					continue
				}
				if k, t, d := near.OnStroke(o, p); d < best {
					best, h.on, h.curve, h.t = d, j, k, t
				}
			}
			if h.on >= 0 {
				out = append(out, h)
			}
		}
	}
	return out
}

// place returns where the hold is.
func (h hold) place(strokes []paths.Stroke) paths.Point { return strokes[h.on][h.curve].At(h.t) }

// pull moves the end of a stroke with the line that it lies on; by is the
// displacement. A line keeps its direction: only its length changes.
func (h hold) pull(s paths.Stroke, by paths.Point) paths.Stroke {
	if by == (paths.Point{}) {
		return s
	}
	out := append(paths.Stroke{}, s...)
	k := 0
	if h.last {
		k = len(s) - 1
	}
	if l, ok := s[k].(paths.Line); ok {
		d := l.Tangent(0)
		by = d.Mul(by.Dot(d))
	}
	if h.last {
		out[k] = paths.Spanned(s[k], s[k].Start(), s[k].End().Add(by))
	} else {
		out[k] = paths.Spanned(s[k], s[k].Start().Add(by), s[k].End())
	}
	return out
}
