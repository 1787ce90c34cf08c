package gcode

import (
	"math"

	"weftplot/paths"
)

// finest is the most decimals that an offset is written with. With four, the two
// radii of an arc whose ends have three differ by 2·0.00071 + 2·0.00007 =
// 0.0016 mm at most, so that some centre always keeps the rule of NISTIR 6556.
const finest = 4

// centre returns the I and J words for the arc a from the pen's rounded position
// to a rounded end: those with the fewest decimals, and among them the shortest,
// whose arc comes back as it should.
//
// The centre of an arc between two given points lies on their perpendicular
// bisector, and a little way from it while the two radii keep the rule. Where on
// it is free as far as the height of the arc is, which for a flat one is far: a
// search along it for a place with short numbers pays.
func (w *writer) centre(a paths.Arc, to [2]int64, full bool) (string, bool) {
	from, end := paths.Point{X: mm(w.at[0]), Y: mm(w.at[1])}, paths.Point{X: mm(to[0]), Y: mm(to[1])}
	places := w.bisector(a, from, end, full)
	best := ""
	for decimals := 0; decimals <= 2*finest && best == ""; decimals++ {
		for main := max(0, decimals-finest); main <= min(decimals, finest); main++ {
			places.each(main, decimals-main, func(i, j int64) {
				centre := from.Add(paths.Point{X: float64(i) / 1e4, Y: float64(j) / 1e4})
				if !w.comesBack(a, from, end, centre, full) {
					return
				}
				if words := w.offsets(i, j); best == "" || len(words) < len(best) {
					best = words
				}
			})
		}
	}
	return best, best != ""
}

// places are where the centre of an arc may lie, as an offset from its start: on
// a stretch of a line, of which the middle is best.
type places struct {
	middle, along paths.Point // along is a unit vector
	back, ahead   float64     // how far the stretch goes either way, mm
}

// bisector returns where the centre of a may lie, its ends rounded. That of a
// full circle, which has no bisector, is looked for at its own centre only.
func (w *writer) bisector(a paths.Arc, from, end paths.Point, full bool) places {
	half := from.Dist(end) / 2
	if full || half == 0 {
		return places{middle: a.Centre.Sub(from), along: paths.Point{X: 1}}
	}
	// The centre is (half² - height²)/2·height from the chord, on its left when
	// the arc turns left, where height is how far the arc stands off it.
	left := end.Sub(from).Left().Unit()
	if a.Sweep < 0 {
		left = left.Mul(-1)
	}
	at := func(height float64) float64 { return (half*half - height*height) / (2 * height) }
	height := half * math.Tan(math.Abs(a.Sweep)/4)
	best := at(height)
	return places{
		middle: end.Sub(from).Mul(0.5).Add(left.Mul(best)), along: left,
		back: best - at(height+w.budget), ahead: at(max(height-w.budget, height/100)) - best,
	}
}

// tries is how many places on either side of the middle are looked at.
const tries = 24

// each calls do with offsets in ten-thousandths of a mm that have so many
// decimals along the main axis of the line, and so many along the other, from
// the middle outward.
func (p places) each(main, other int, do func(i, j int64)) {
	upright := math.Abs(p.along.Y) > math.Abs(p.along.X)
	m, o, am, ao := p.middle.X, p.middle.Y, p.along.X, p.along.Y
	if upright {
		m, o, am, ao = o, m, ao, am
	}
	sm, so := math.Pow10(main), math.Pow10(other)
	try := func(n float64) bool {
		s := (n/sm - m) / am
		if s < -p.back-0.5/sm || s > p.ahead+0.5/sm {
			return false
		}
		i, j := int64(math.Round(n*1e4/sm)), int64(math.Round(math.Round((o+s*ao)*so)*1e4/so))
		if upright {
			i, j = j, i
		}
		if max(i, -i) < 1e11 && max(j, -j) < 1e11 {
			do(i, j)
		}
		return true
	}
	first := math.Round(m * sm)
	try(first)
	for _, step := range []float64{1, -1} {
		for k := 1.0; k <= tries && try(first+step*k); k++ {
		}
	}
}

// widest is the greatest sweep that is written by its radius. NISTIR 6556, 3.5.3.2,
// calls arcs from tiny to 165 degrees good practice, and half and full circles bad,
// because an error of the end moves the middle of the arc by far more: an end that is
// off by d along the chord moves it by d/2·tan(sweep/2). That is 3.8·d at 165 degrees,
// and less than d up to 120.
const widest = 2 * math.Pi / 3

// radius returns the R word for the arc a from the pen's rounded position to a rounded
// end: the one with the fewest decimals whose arc comes back as it should. There is
// none for an arc that is better written by its centre.
//
// The centre of such an arc is as far from both ends, so the rule on radii is kept
// exactly; how far the arc then strays is judged along all of it.
func (w *writer) radius(a paths.Arc, to [2]int64) (string, bool) {
	from, end := paths.Point{X: mm(w.at[0]), Y: mm(w.at[1])}, paths.Point{X: mm(to[0]), Y: mm(to[1])}
	if from == end || math.Abs(a.Sweep) > widest {
		return "", false
	}
	low, high := w.radii(a, from, end)
	for decimals := 0; decimals <= finest; decimals++ {
		step := math.Pow10(finest - decimals) // in ten-thousandths of a mm
		middle := math.Round(a.Radius() * 1e4 / step)
		for k := 0.0; k <= tries; k++ {
			for _, n := range []float64{middle - k, middle + k} {
				r := n * step / 1e4
				if low <= r && r <= high && r < 1e6 && w.spans(a, from, end, r) {
					return "R" + w.number(int64(n*step), 4), true
				}
			}
		}
	}
	return "", false
}

// radii returns which radii can keep the height of an arc over its chord within the
// budget of that of a.
func (w *writer) radii(a paths.Arc, from, end paths.Point) (low, high float64) {
	half := from.Dist(end) / 2
	of := func(height float64) float64 { return (half*half + height*height) / (2 * height) }
	height := half * math.Tan(math.Abs(a.Sweep)/4)
	return of(min(height+w.budget, half*math.Tan(widest/4))), of(max(height-w.budget, height/100))
}

// spans reports whether the arc of a radius from one point to another stays within the
// budget of a, all along it.
func (w *writer) spans(a paths.Arc, from, end paths.Point, r float64) bool {
	b, ok := byRadius(from, end, r, a.Sweep > 0)
	return ok && w.near(a, b) && w.near(b, a)
}

// byRadius returns the arc of less than half a circle from one point to another,
// anticlockwise or not; ok is false where the radius does not reach.
func byRadius(from, end paths.Point, r float64, ccw bool) (arc paths.Arc, ok bool) {
	chord := end.Sub(from)
	half := chord.Len() / 2
	if half == 0 || !(r > half) {
		return paths.Arc{}, false
	}
	h := math.Sqrt((r - half) * (r + half))
	if !ccw {
		h = -h
	}
	centre := from.Lerp(end, 0.5).Add(chord.Left().Mul(h / (2 * half)))
	return paths.Arc{From: from, To: end, Centre: centre, Sweep: sweepBetween(from, end, centre, ccw)}, true
}
