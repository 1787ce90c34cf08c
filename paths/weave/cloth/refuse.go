package cloth

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// checkTurn refuses a map that turns the cloth over, wholly or in places.
func checkTurn(f fitted, marks []Mark, extent weave.Place) error {
	over, total := 0, 0
	var where weave.Place
	lattice(marks, extent, func(p weave.Place) {
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
		return fault.Bad("", "count across from the left and along from the bottom of the side that is drawn on",
			"the marks turn the cloth over, left for right")
	}
	worst := nearestMark(marks, where)
	return fault.Bad(fmt.Sprintf("mark %d", worst+1), "count this mark and its neighbours again, or choose a stiffer fit",
		"the marks fold the cloth near %.0f channels across, %.0f along", where.Across, where.Along)
}

func nearestMark(marks []Mark, p weave.Place) int {
	best, dist := 0, math.Inf(1)
	for i, m := range marks {
		if d := math.Hypot(m.Place.Across-p.Across, m.Place.Along-p.Along); d < dist {
			best, dist = i, d
		}
	}
	return best
}

const againHelp = "count and steer to this mark again, or leave it out"

// checkResiduals refuses a mark that the fit or the other marks contradict.
func checkResiduals(f fitted, marks []Mark, g weave.Grid, model string) error {
	worst, most := 0, 0.
	for i, m := range marks {
		if off := channelsLong(f.inChannels(m.Place, f.residual[i], g)); off > most {
			worst, most = i, off
		}
	}
	if bad, off, ok := miscount(marks, g, model); ok {
		return fault.Bad("", againHelp, "%s", sayMiscount(bad, off))
	}
	if bad, off, ok := badMark(f, marks, g, model); ok {
		return fault.Bad(fmt.Sprintf("mark %d", bad+1), againHelp,
			"it lies %.1f channels across and %.1f along from where the other marks put it", math.Abs(off.Across), math.Abs(off.Along))
	}
	if most > mostResidual {
		return fault.Bad(fmt.Sprintf("mark %d", worst+1), againHelp,
			"it lies %.1f mm (%.1f channels) from where the %s fit of all marks puts it, over half a channel",
			f.residual[worst].Len(), most, f.model)
	}
	return nil
}

// sayMiscount puts a miscount in words.
func sayMiscount(i int, off weave.Place) string {
	var parts []string
	for _, p := range []struct {
		v   float64
		way string
	}{{off.Across, "across"}, {off.Along, "along"}} {
		switch n := math.Abs(p.v); n {
		case 0:
		case 1:
			parts = append(parts, "one channel off "+p.way)
		default:
			parts = append(parts, fmt.Sprintf("%.0f channels off %s", n, p.way))
		}
	}
	return fmt.Sprintf("mark %d looks %s, by what the other marks say", i+1, strings.Join(parts, " and "))
}

// miscounts are the errors in counting that are looked for.
var miscounts = []weave.Place{
	place(1, 0), place(-1, 0), place(0, 1), place(0, -1), place(2, 0), place(-2, 0), place(0, 2), place(0, -2), place(1, 1), place(1, -1), place(-1, 1), place(-1, -1),
}

// mostRecounted bounds the marks whose count is doubted.
const mostRecounted = 30

// miscount looks for the one mark that, were it a channel or two elsewhere,
// would let all marks agree: their leave-one-out error falls to under half, and
// under a quarter of a channel. It returns the mark and what must be added to
// its count.
func miscount(marks []Mark, g weave.Grid, model string) (bad int, off weave.Place, ok bool) {
	if len(marks) < 5 {
		return 0, weave.Place{}, false
	}
	now := stiffError(marks, g, model)
	least := min(now/recountGain, sureResidual*min(g.Across, g.Along))
	for _, i := range suspects(marks, g) {
		try := append([]Mark(nil), marks...)
		for _, d := range miscounts {
			try[i].Place = place(marks[i].Place.Across+d.Across, marks[i].Place.Along+d.Along)
			if e := stiffError(try, g, model); e < least {
				bad, off, least, ok = i, d, e, true
			}
		}
	}
	return bad, off, ok
}

// suspects returns the marks that lie farthest from the affine fit of all
// others.
func suspects(marks []Mark, g weave.Grid) []int {
	out := make([]int, len(marks))
	for i := range out {
		out[i] = i
	}
	if f, err := fitModel(Affine, marks, g); err == nil && f.spare {
		slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(f.deleted[b].Len(), f.deleted[a].Len()) })
	}
	return out[:min(len(out), mostRecounted)]
}

// stiffError returns the least leave-one-out error of the models too stiff to
// bend to one mark, or of the model asked for.
func stiffError(marks []Mark, g weave.Grid, model string) float64 {
	least := math.Inf(1)
	for _, name := range []string{Similarity, Affine, Bilinear, Biquadratic} {
		if leastMarks[name] >= len(marks) || model != name && model != "" && model != Auto && model != ThinPlate {
			continue
		}
		if f, err := fitModel(name, marks, g); err == nil {
			least = min(least, f.leaveOneOut())
		}
	}
	return least
}

// badMark looks for the one mark without which all others agree: they agree to
// within a quarter of a channel, several times better than with it, and it lies
// most of a channel off. It returns how far off in channels, positive where it
// was counted too low.
func badMark(f fitted, marks []Mark, g weave.Grid, model string) (bad int, off weave.Place, ok bool) {
	if len(marks) < 5 || mostDeleted(f, marks, g) <= badDeleted {
		return 0, weave.Place{}, false
	}
	all, least := f.leaveOneOut(), math.Inf(1)
	for i, m := range marks {
		rest := append(append([]Mark(nil), marks[:i]...), marks[i+1:]...)
		r, err := fitOthers(rest, g, model)
		if err != nil || !r.spare || r.leaveOneOut() >= least {
			continue
		}
		d := r.inChannels(m.Place, m.At.Sub(r.at(m.Place)), g)
		if channelsLong(d) > badDeleted && r.leaveOneOut()*outlierGain < all && mostOff(r, rest, g) <= sureResidual {
			bad, off, least, ok = i, d, r.leaveOneOut(), true
		}
	}
	return bad, off, ok
}

// fitOthers fits all marks but one with the model asked for, or a stiffer one if
// they are too few for it.
func fitOthers(marks []Mark, g weave.Grid, model string) (fitted, error) {
	if len(marks) < leastMarks[model] || onOneLine(marks, g) {
		model = Auto
	}
	return fitBest(marks, g, model)
}

// mostDeleted returns the greatest deleted residual in channels; without marks
// to spare the residuals are unknown and it is +Inf.
func mostDeleted(f fitted, marks []Mark, g weave.Grid) float64 {
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
// share of the box: stiff maps can be extended farther than pliant ones.
var reachShare = map[string]float64{Similarity: 2, Affine: 1, Bilinear: 0.5, Biquadratic: 0.35, ThinPlate: 0.5}

// checkReach refuses a rug that reaches far beyond the marks.
func checkReach(f fitted, marks []Mark, g weave.Grid, extent weave.Place) error {
	beyond, corner := beyondMarks(f, marks, g, extent)
	if beyond <= reachShare[f.model] {
		return nil
	}
	return fault.Bad(fmt.Sprintf("mark %d", nearestMark(marks, corner)+1), "steer to marks near the corners of the rug",
		"the rug reaches %.0f %% of the marks' own spread beyond them, to %.0f channels across and %.0f along: too far for the %s fit",
		100*beyond, corner.Across, corner.Along, f.model)
}

// beyondMarks returns how far the rug reaches beyond the marks, as a share of
// their spread, and the corner where it does so most.
func beyondMarks(f fitted, marks []Mark, g weave.Grid, extent weave.Place) (share float64, corner weave.Place) {
	if extent == (weave.Place{}) {
		return 0, weave.Place{}
	}
	lo, hi := markBounds(marks)
	w, h := hi.Across-lo.Across, hi.Along-lo.Along
	if f.model == Similarity { // two marks along one side determine both directions
		far := max(w*g.Across, h*g.Along)
		w, h = far/g.Across, far/g.Along
	}
	out := func(v, lo, hi, size float64) float64 { return max(0, lo-v, v-hi) / size }
	for _, c := range []weave.Place{place(0, 0), place(extent.Across, 0), place(0, extent.Along), extent} {
		if s := max(out(c.Across, lo.Across, hi.Across, w), out(c.Along, lo.Along, hi.Along, h)); s > share {
			share, corner = s, c
		}
	}
	return share, corner
}
