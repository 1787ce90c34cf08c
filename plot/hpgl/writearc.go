package hpgl

import (
	"math"
	"strconv"

	"weftplot/paths"
)

// arc writes c as an arc instruction if it is one that whole units serve, and
// reports whether it did.
//
// AA takes the centre in whole units and turns from where the pen is: 7470A,
// 3-17. Only a sweep of quarter turns ends on whole units again, so that no
// error is carried on. The plotter draws chords of so many degrees, five unless
// told: the greatest number is told that keeps the tolerance.
func (w *writer) arc(c paths.Curve) (bool, error) {
	a, ok := c.(paths.Arc)
	if !ok || w.bits > 0 {
		return false, nil
	}
	scaled, ok := a.Transform(w.grid)[0].(paths.Arc)
	quarters := math.Round(scaled.Sweep / (math.Pi / 2))
	if !ok || quarters == 0 || math.Abs(scaled.Sweep-quarters*math.Pi/2)*a.Radius() > w.tol/4 {
		return false, nil
	}
	// Half of the tolerance is for the chords, half for the centre beside what
	// rounding to whole units takes anyway.
	half := w.tol * w.grid.MeanScale() / 2
	chord := math.Floor(2 * math.Acos(max(-1, 1-half/scaled.Radius())) * 180 / math.Pi)
	chord = min(chord, 45)
	few := 3.0 // chords that take fewer bytes than the instruction
	if w.encoded {
		few = 8
	}
	if chord < 1 || math.Abs(quarters)*90/chord <= few {
		return false, nil
	}
	if err := w.catchUp(); err != nil {
		return false, err
	}
	centre, off := nearestCentre(scaled, w.at)
	if off > math.Sqrt2/2+half || max(math.Abs(centre.X), math.Abs(centre.Y)) > float64(w.limit) {
		return false, nil
	}
	to, err := w.round(a.To)
	if err != nil {
		return false, err
	}
	end := turned(w.at, centre, int(quarters))
	if centre == (paths.Point{X: float64(w.at[0]), Y: float64(w.at[1])}) {
		return false, nil // so small that nothing is left of its radius
	}
	if (paths.Point{X: float64(end[0]), Y: float64(end[1])}).Dist(scaled.To) > math.Sqrt2/2+half {
		return false, nil // about so small a circle the rounded centre turns it elsewhere
	}
	w.list.end(w)
	w.line("AA" + whole(centre.X) + "," + whole(centre.Y) + "," + whole(quarters*90) + "," + whole(chord) + ";")
	w.at = end
	w.to(to)
	return true, nil
}

func whole(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) }

// nearestCentre returns the whole centre for the arc a, in units, from the pen
// at from, and a bound on how far the circle about it strays.
func nearestCentre(a paths.Arc, from position) (paths.Point, float64) {
	start := paths.Point{X: float64(from[0]), Y: float64(from[1])}
	best, least := paths.Point{}, math.Inf(1)
	for dx := -1.0; dx <= 1; dx++ {
		for dy := -1.0; dy <= 1; dy++ {
			c := paths.Point{X: math.Round(a.Centre.X) + dx, Y: math.Round(a.Centre.Y) + dy}
			off := c.Dist(a.Centre) + math.Abs(c.Dist(start)-a.Radius())
			if off < least {
				best, least = c, off
			}
		}
	}
	return best, least
}

// turned returns p turned by quarter turns about a whole centre.
func turned(p position, centre paths.Point, quarters int) position {
	x, y := p[0]-int64(centre.X), p[1]-int64(centre.Y)
	for range ((quarters % 4) + 4) % 4 {
		x, y = -y, x
	}
	return position{x + int64(centre.X), y + int64(centre.Y)}
}
