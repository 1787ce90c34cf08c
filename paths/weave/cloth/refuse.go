package cloth

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

// checkTurn refuses a map that turns the cloth over, wholly or in places.
func checkTurn(f models.Fitted, marks []Mark, opt FitOptions) error {
	over, total := 0, 0
	var where weave.Place
	lattice(marks, opt.Extent, func(p weave.Place) {
		a, b := f.Jacobian(p)
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
	where = opt.asCounted(where)
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

// The marks must be so many times likelier with one of them wrong than with none,
// for it to be called wrong or doubted. Of honest marks the mean of that is 1 for
// each, whatever the cloth, so that n of them reach sure in n of 10,000 cloths at
// most (Markov's inequality). On 1092 random cloths they reached 1300 once.
const (
	sure, doubtful = 10000, 50
	// sureOfWhich is how many times likelier it must be than any other's being wrong.
	sureOfWhich = 20
)

// checkMarked refuses a mark that all others contradict, marks that contradict
// each other, and marks off a model that was asked for.
func checkMarked(e *errorField, f models.Fitted, marks []Mark, g weave.Grid, opt FitOptions) error {
	if bad, s, ok := named(e, marks, g, opt); ok {
		if s.known {
			return fault.Bad("", againHelp, "%s", sayMiscount(bad, place(float64(s.by[0]), float64(s.by[1]))))
		}
		d := e.belief.sheet.out(e.belief.deleted(bad))
		off := e.belief.sheet.base.InChannels(marks[bad].Place, d, g)
		return fault.Bad(fmt.Sprintf("mark %d", bad+1), againHelp,
			"it lies %.1f channels across and %.1f along from where the other marks put it", math.Abs(off.Across), math.Abs(off.Along))
	}
	if p := e.belief.hopeless(); p > 0.9 {
		return fault.Bad("", "more than one of them is wrong: begin anew, and count from the same corner each time",
			"the marks contradict each other by %.1f mm and more, whatever the cloth", hopeless)
	}
	if opt.Model == "" || opt.Model == models.Auto || opt.Model == models.Smooth {
		return nil
	}
	for i, m := range marks {
		if off := channelsLong(f.InChannels(m.Place, f.Residual[i], g)); off > mostResidual {
			return fault.Bad(fmt.Sprintf("mark %d", i+1), "count and steer to this mark again, or choose a fit that bends more",
				"it lies %.1f mm (%.1f channels) from where the %s fit of all marks puts it, over half a channel", f.Residual[i].Len(), off, f.Model)
		}
	}
	return nil
}

// named returns the mark that is wrong for sure, and its slip. Leaving it out
// must make the map surer, and is tried.
func named(e *errorField, marks []Mark, g weave.Grid, opt FitOptions) (bad int, s slip, ok bool) {
	bad, odds, next, s := e.belief.suspect()
	if odds < sure || odds < sureOfWhich*next || len(marks) < 5 {
		return bad, s, false
	}
	rest := slices.Delete(slices.Clone(marks), bad, bad+1)
	if models.OnOneLine(pairs(rest), g) {
		return bad, s, false
	}
	b, err := believe(rest, g, opt)
	if err != nil {
		return bad, s, false
	}
	mean := b.mean()
	without := &errorField{b, b.draw(), b.sheet.bent(mean[0], mean[1])}
	over := e.belief.sheet.lattice(latticeSteps)
	return bad, s, expectWorst(without.distances(over)).Greatest < expectWorst(e.distances(over)).Greatest
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

// reachShare is how far the rug may reach beyond the box round the marks, as a
// share of the box: stiff maps can be extended farther than pliant ones.
var reachShare = map[string]float64{models.Similarity: 2, models.Affine: 1, models.Bilinear: 0.5, models.Biquadratic: 0.35, models.Cubic: 0.35, models.Smooth: 0.5, models.ThinPlate: 0.5}

// checkReach refuses a rug that reaches far beyond the marks.
func checkReach(f models.Fitted, marks []Mark, g weave.Grid, opt FitOptions) error {
	beyond, corner := beyondMarks(f, marks, g, opt.Extent)
	if beyond <= reachShare[f.Model] {
		return nil
	}
	nearest := nearestMark(marks, corner)
	corner = opt.asCounted(corner)
	return fault.Bad(fmt.Sprintf("mark %d", nearest+1), "steer to marks near the corners of the rug",
		"the rug reaches %.0f %% of the marks' own spread beyond them, to %.0f channels across and %.0f along: too far for the %s fit",
		100*beyond, corner.Across, corner.Along, f.Model)
}

// beyondMarks returns how far the rug reaches beyond the marks, as a share of
// their spread, and the corner where it does so most.
func beyondMarks(f models.Fitted, marks []Mark, g weave.Grid, extent weave.Place) (share float64, corner weave.Place) {
	if extent == (weave.Place{}) {
		return 0, weave.Place{}
	}
	lo, hi := markBounds(marks)
	w, h := hi.Across-lo.Across, hi.Along-lo.Along
	if f.Model == models.Similarity { // two marks along one side determine both directions
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
