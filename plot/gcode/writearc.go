package gcode

import (
	"math"

	"weftplot/paths"
)

// radiusRule is how far the distances of an arc's two ends from its centre may
// differ, in mm: NISTIR 6556, 3.5.3.2.
const radiusRule = 0.002

// arc writes a by its centre. The ends are rounded to a thousandth, and so are
// the offsets of the centre, from the start as rounded, if the two radii then
// keep the rule; else the offsets are rounded to a ten-thousandth, with which
// the radii differ by 2·0.00071 + 2·0.00007 = 0.0016 mm at most.
//
// Rounding can turn a tiny arc inside out, so the arc is read back from its
// numbers first. One that does not come back as it was is halved, and what is
// left after a few halvings is drawn straight.
func (w *writer) arc(a paths.Arc, feed string, halvings int) error {
	to, err := w.round(a.To)
	if err != nil {
		return err
	}
	full := math.Abs(a.Sweep) >= 2*math.Pi-1e-9
	switch {
	case a.Length() < 0.005 || !full && sagitta(a) < 0.0005: // no bend that shows
		return w.straight(a.To, feed)
	case full:
		to = w.at
	case to == w.at && math.Abs(a.Sweep) > math.Pi:
		full = true // all but a thousandth of a circle
	}
	for _, step := range []float64{1e3, 1e4} {
		i, j := math.Round((a.Centre.X-mm(w.at[0]))*step), math.Round((a.Centre.Y-mm(w.at[1]))*step)
		if math.Abs(i) < 1e11 && math.Abs(j) < 1e11 && w.comesBack(a, to, i/step, j/step, full) {
			motion := "G3"
			if a.Sweep < 0 {
				motion = "G2"
			}
			w.move(motion, to, offsetWords(int64(i*1e4/step), int64(j*1e4/step)), feed)
			return nil
		}
	}
	if halvings == 0 {
		return w.straight(a.To, feed)
	}
	first, second := a.Split(0.5)
	if err := w.arc(first.(paths.Arc), feed, halvings-1); err != nil {
		return err
	}
	return w.arc(second.(paths.Arc), feed, halvings-1)
}

func mm(thousandths int64) float64 { return float64(thousandths) / 1000 }

// sagitta returns how far the arc stands off its chord; for more than half a
// circle, its width.
func sagitta(a paths.Arc) float64 { return a.Radius() * (1 - math.Cos(a.Sweep/2)) }

// offsetWords returns the I and J words; the one that is 0 is left out.
func offsetWords(i, j int64) string {
	switch {
	case j == 0:
		return "I" + decimal(i, 4)
	case i == 0:
		return "J" + decimal(j, 4)
	}
	return "I" + decimal(i, 4) + " J" + decimal(j, 4)
}

// comesBack reports whether the arc from here to the rounded end about the
// rounded offsets keeps the radius rule and its sweep.
func (w *writer) comesBack(a paths.Arc, to [2]int64, i, j float64, full bool) bool {
	from, end := paths.Point{X: mm(w.at[0]), Y: mm(w.at[1])}, paths.Point{X: mm(to[0]), Y: mm(to[1])}
	centre := from.Add(paths.Point{X: i, Y: j})
	r := from.Dist(centre)
	if r == 0 || math.Abs(r-end.Dist(centre)) > radiusRule*0.95 {
		return false
	}
	if full {
		return true
	}
	return math.Abs(sweepBetween(from, end, centre, a.Sweep > 0)-a.Sweep)*r < 0.005
}

// sweepBetween returns the angle travelled about centre, in (0, 2π] or
// [-2π, 0): ends that coincide make a full circle.
func sweepBetween(from, to, centre paths.Point, ccw bool) float64 {
	a, b := from.Sub(centre), to.Sub(centre)
	s := math.Atan2(a.Cross(b), a.Dot(b))
	switch {
	case from == to:
		s = 2 * math.Pi
		if !ccw {
			s = -s
		}
	case ccw && s <= 0:
		s += 2 * math.Pi
	case !ccw && s >= 0:
		s -= 2 * math.Pi
	}
	return s
}
