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
