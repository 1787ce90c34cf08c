package weave

import (
	"fmt"
	"math"

	"weftplot/paths"
)

// checkTurn refuses a map that turns the cloth over, wholly or in places.
func checkTurn(f fitted, marks []Mark, extent Place) error {
	over, total := 0, 0
	var where Place
	lattice(marks, extent, func(p Place) {
		a, b := f.jacobian(p)
		total++
		if a.Cross(b) <= 0 {
			over++
			where = p
		}
	})
	switch {
	case over == 0:
		return nil
	case over == total:
		return paths.Bad("", "count across from the left and along from the bottom of the side that is drawn on",
			"the marks turn the cloth over, left for right")
	}
	worst := nearestMark(marks, where)
	return paths.Bad(fmt.Sprintf("mark %d", worst+1), "count this mark and its neighbours again, or choose a stiffer fit",
		"the marks fold the cloth near %.0f channels across, %.0f along", where.Across, where.Along)
}

func nearestMark(marks []Mark, p Place) int {
	best, dist := 0, math.Inf(1)
	for i, m := range marks {
		if d := math.Hypot(m.Place.Across-p.Across, m.Place.Along-p.Along); d < dist {
			best, dist = i, d
		}
	}
	return best
}

const againHelp = "count and steer to this mark again, or leave it out"

// checkResiduals refuses a mark that the fit or the other marks speak against.
func checkResiduals(f fitted, marks []Mark, g Grid, model string) error {
	worst, most := 0, 0.
	for i, m := range marks {
		if off := channelsLong(f.inChannels(m.Place, f.residual[i], g)); off > most {
			worst, most = i, off
		}
	}
	if bad, off, ok := badMark(f, marks, g, model); ok {
		return paths.Bad(fmt.Sprintf("mark %d", bad+1), againHelp, "%s", sayOff(bad, off))
	}
	if most > mostResidual {
		return paths.Bad(fmt.Sprintf("mark %d", worst+1), againHelp,
			"it lies %.1f mm (%.1f channels) from where a %s fit of all marks puts it, over half a channel",
			f.residual[worst].Len(), most, f.model)
	}
	return nil
}

// sayOff puts in words that a mark is so many channels off.
func sayOff(i int, off Place) string {
	part := func(v float64, way string) string {
		n := math.Round(v)
		switch {
		case math.Abs(v-n) > 0.35 || n == 0:
			return ""
		case math.Abs(n) == 1:
			return "one channel off " + way
		}
		return fmt.Sprintf("%.0f channels off %s", math.Abs(n), way)
	}
	a, b := part(off.Across, "across"), part(off.Along, "along")
	// The way that is no miscount must agree to a part of a channel.
	switch {
	case a != "" && b != "":
		return fmt.Sprintf("mark %d looks %s and %s, by what the other marks say", i+1, a, b)
	case a != "" && math.Abs(off.Along) <= 0.35:
		return fmt.Sprintf("mark %d looks %s, by what the other marks say", i+1, a)
	case b != "" && math.Abs(off.Across) <= 0.35:
		return fmt.Sprintf("mark %d looks %s, by what the other marks say", i+1, b)
	}
	return fmt.Sprintf("mark %d lies %.1f channels across and %.1f along from where the other marks put it",
		i+1, math.Abs(off.Across), math.Abs(off.Along))
}

// badMark looks for the one mark without which all others agree: they keep
// within a quarter of a channel of each other's word, several times better than
// with it, and it lies over half a channel off. It returns how far off in
// channels, positive where it was counted too low.
func badMark(f fitted, marks []Mark, g Grid, model string) (bad int, off Place, ok bool) {
	if len(marks) < 5 || mostDeleted(f, marks, g) <= mostResidual {
		return 0, Place{}, false
	}
	all, least := f.leaveOneOut(), math.Inf(1)
	for i, m := range marks {
		rest := append(append([]Mark(nil), marks[:i]...), marks[i+1:]...)
		r, err := fitOthers(rest, g, model)
		if err != nil || !r.spare || r.leaveOneOut() >= least {
			continue
		}
		d := r.inChannels(m.Place, m.At.Sub(r.at(m.Place)), g)
		if channelsLong(d) > mostResidual && r.leaveOneOut()*outlierGain < all && mostOff(r, rest, g) <= sureResidual {
			bad, off, least, ok = i, d, r.leaveOneOut(), true
		}
	}
	return bad, off, ok
}

// fitOthers fits all marks but one with the model asked for, or a stiffer one if
// they are too few for it.
func fitOthers(marks []Mark, g Grid, model string) (fitted, error) {
	if len(marks) < leastMarks[model] || onOneLine(marks, g) {
		model = Auto
	}
	return fitBest(marks, g, model)
}

// mostDeleted returns the greatest deleted residual in channels; a fit without
// marks to spare has none that could be known, so it is +Inf.
func mostDeleted(f fitted, marks []Mark, g Grid) float64 {
	if !f.spare {
		return math.Inf(1)
	}
	worst := 0.
	for i, m := range marks {
		worst = max(worst, channelsLong(f.inChannels(m.Place, f.deleted[i], g)))
	}
	return worst
}

// reachShare is how far the rug may reach beyond the box round the marks, as a
// share of the box: stiff maps carry farther than pliant ones.
var reachShare = map[string]float64{Similarity: 2, Affine: 1, Bilinear: 0.5, Biquadratic: 0.35, ThinPlate: 0.5}

// checkReach refuses a rug that reaches far beyond the marks.
func checkReach(f fitted, marks []Mark, g Grid, extent Place) error {
	beyond, corner := beyondMarks(f, marks, g, extent)
	if beyond <= reachShare[f.model] {
		return nil
	}
	return paths.Bad(fmt.Sprintf("mark %d", nearestMark(marks, corner)+1), "steer to marks near the corners of the rug",
		"the rug reaches %.0f %% of the marks' own spread beyond them, to %.0f channels across and %.0f along: too far for a %s fit",
		100*beyond, corner.Across, corner.Along, f.model)
}

// beyondMarks returns how far the rug reaches beyond the marks, as a share of
// their spread, and the corner where it does so most.
func beyondMarks(f fitted, marks []Mark, g Grid, extent Place) (share float64, corner Place) {
	if extent == (Place{}) {
		return 0, Place{}
	}
	lo, hi := markBounds(marks)
	w, h := hi.Across-lo.Across, hi.Along-lo.Along
	if f.model == Similarity { // two marks along one side carry both ways
		far := max(w*g.Across, h*g.Along)
		w, h = far/g.Across, far/g.Along
	}
	out := func(v, lo, hi, size float64) float64 { return max(0, lo-v, v-hi) / size }
	for _, c := range []Place{{0, 0}, {extent.Across, 0}, {0, extent.Along}, extent} {
		if s := max(out(c.Across, lo.Across, hi.Across, w), out(c.Along, lo.Along, hi.Along, h)); s > share {
			share, corner = s, c
		}
	}
	return share, corner
}
